//! `label` as a person meets it.

use crate::{run, run_with, sungraft};

const READING: [&str; 9] =
    ["label", "--voc", "20.6", "--isc", "4.37", "--irradiance", "870", "--back-temp", "44"];

fn with(more: &[&'static str]) -> (i32, String, String) {
    run(&mut sungraft(&[&READING[..], more].concat()))
}

#[test]
fn one_reading_is_answered_with_a_band_and_an_entry_to_paste() {
    let (code, answer, talk) = with(&["--cells", "36"]);
    assert_eq!((code, talk.as_str()), (0, ""));
    // By hand: 4.37 A · 1000/870 less 0.05 % a degree is 5.0 A; 20.6 V and 22 °C up is 22.3 V.
    assert!(answer.contains("Isc        4.97 A") && answer.contains("estimated: true"), "{answer}");
    let again = with(&["--cells", "36"]);
    assert_eq!(again.1, answer, "same readings, same bytes");
}

#[test]
fn a_file_on_standard_input_is_read_and_its_odd_reading_named() {
    let file = "note;voc_v;isc_a;irradiance_w_m2;back_temp_c\nnoon;20,6;4,37;870;44\n\
                later;20,7;4,16;835;42\ndusk;20,5;2,9;820;42\n";
    let (code, answer, _) = run_with(&["label", "--readings", "-"], file);
    assert_eq!(code, 0);
    assert!(answer.contains("dusk does not fit the others"), "{answer}");
}

#[test]
fn fading_takes_the_label_from_a_site_file_or_from_options() {
    let site = concat!(env!("CARGO_MANIFEST_DIR"), "/src/input/starter.yaml");
    let (code, by_site, _) = with(&["--aged", "--site", site, "--kind", "porch-90", "--age", "12"]);
    assert_eq!(code, 0);
    assert!(by_site.contains("Against the label of porch-90"), "{by_site}");
    assert!(by_site.contains("max_fuse_a: 10"), "{by_site}");
    let label = [
        "--aged",
        "--label-pmax",
        "90",
        "--label-vmp",
        "18.1",
        "--label-imp",
        "4.97",
        "--label-voc",
        "22.2",
        "--label-isc",
        "5.3",
    ];
    let (code, by_label, _) = with(&label);
    assert_eq!(code, 0);
    assert!(by_label.contains("Against the label of panel"), "{by_label}");
}

#[test]
fn mistakes_end_with_2_and_say_what_to_do() {
    let site = concat!(env!("CARGO_MANIFEST_DIR"), "/src/input/starter.yaml");
    for (args, wanted) in [
        (&["label"][..], "sungraft label --how"),
        (&["label", "--voc", "20.6"], "`--isc`"),
        (&["label", "--readings", "no-such.csv"], "there is no file"),
        (&["label", "--readings", "a.csv", "--voc", "20.6"], "cannot be used with"),
        (&["label", "--voc", "20.6", "--cells", "0"], "from 1 to 400"),
        (&["label", "--voc", "20.6", "--volt-percent", "0"], "an accuracy from 0.05 to 20"),
        (&["label", "--voc", "20.6", "--aged"], "--label-pmax 160"),
        (&["label", "--voc", "20.6", "--site", site], "--aged"),
        (&["label", "--voc", "20.6", "--aged", "--site", site], "which of the kinds"),
        (&["label", "--aged", "--site", site, "--kind", "hive"], "`hive-160`, `porch-90`"),
        (&["label", "--voc=-20.6", "--isc", "4"], "the wrong way round"),
        (&["label", "--voc", "20.6", "--id", ""], "a short name"),
    ] {
        let (code, answer, talk) = run_with(args, "");
        assert_eq!((code, answer.as_str()), (2, ""), "{args:?}");
        assert!(talk.contains(wanted), "{args:?}: {talk}");
    }
}

#[test]
fn how_to_measure_warns_of_the_meters_range_first() {
    let (code, answer, talk) = run(&mut sungraft(&["label", "--how", "--meter-range", "20"]));
    assert_eq!((code, talk.as_str()), (0, ""));
    assert!(answer.starts_with("Take care\n  The meter's current range and its fuse end at 20 A"));
}

#[test]
fn the_schema_of_label_is_printed() {
    let (code, answer, _) = run(&mut sungraft(&["schema", "label"]));
    assert_eq!(code, 0);
    assert!(answer.contains("sungraft/label@1"));
}

#[test]
fn readings_of_two_panels_are_refused_and_never_end_in_a_crash() {
    let sharp = ["--volt-percent", "0.05", "--amp-percent", "0.05", "--light-percent", "0.05"];
    for lines in [
        "4.03378,3.37310,636.1,11.4,1.64348,3.01342\n83.79837,18.23999,105.6,51.3,60.54810,8.85651\n22.09908,7.76432,811.5,71.5,,\n",
        "30.47698,22.72749,1183.5,58.2,,\n31.35578,23.86719,218.6,-29.3,9.66945,20.51392\n",
    ] {
        let file = format!("voc_v,isc_a,irradiance_w_m2,back_temp_c,load_v,load_a\n{lines}");
        let args = [&["label", "--readings", "-", "--temp-off", "0.05"][..], &sharp].concat();
        let (code, answer, talk) = run_with(&args, &file);
        assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
        assert!(talk.contains("too far apart to be of one panel"), "{talk}");
    }
}
