//! What people mistype or measure wrongly, and what they are told.

use sungraft::input::{Beside, read_readings, read_typed_label, read_typed_reading};
use sungraft::units::Amps;

const HEADER: &str = "voc_v,isc_a,irradiance_w_m2,back_temp_c,load_v,load_a\n";

fn cells(n: usize) -> Beside {
    Beside { cells: Some(n), twin_label_i_sc: None }
}

/// The findings about a file with one line below the usual header.
fn line(text: &str, beside: &Beside) -> String {
    file(&format!("{HEADER}{text}\n"), beside)
}

fn file(text: &str, beside: &Beside) -> String {
    match read_readings("porch.csv", text.as_bytes(), beside) {
        Ok(read) => read.warnings.to_string(),
        Err(findings) => findings.to_string(),
    }
}

fn typed(options: &[(&str, &str)], beside: &Beside) -> String {
    match read_typed_reading(options, beside) {
        Ok(read) => read.warnings.to_string(),
        Err(findings) => findings.to_string(),
    }
}

/// A mistake, the code it is given, and what the help must say.
fn says(found: &str, code: &str, help: &str) {
    assert!(found.contains(&format!("[{code}]")), "{code} is not in:\n{found}");
    assert!(found.replace("\n      ", " ").contains(help), "{help:?} is not in:\n{found}");
}

#[test]
fn figures_in_other_units_are_told_apart() {
    let b = cells(36);
    says(&line("20.6,4370,870,44,,", &b), "E605", "is it in mA? 4370 mA are 4.37 A");
    says(&line("206,4.37,870,44,,", &b), "E605", "is this a whole string?");
    says(&line("20600,4.37,870,44,,", &b), "E605", "is it in mV (20600 mV are 20.6 V)?");
    says(&line("20.6,4.37,0.87,44,,", &b), "E605", "is it in kW/m²? 0.87 kW/m² are 870 W/m²");
    says(&line("20.6,4.37,98000,44,,", &b), "E605", "lux cannot be used");
    says(&line("20.6,4.37,870,111,,", &b), "E605", "111 °F are 43.9 °C");
    says(&line("20.6,4.37,870,84,,", &b), "W601", "84 °F are 28.9 °C");
    says(&line("20.6 V,4.37,870,44,,", &b), "E303", "write `20.6`");
    says(&line("20.6,4.37,870 W/m2,44,,", &b), "E303", "write `870`");
}

#[test]
fn no_light_and_reversed_leads_are_told_apart() {
    let b = cells(36);
    says(&line("20.6,0,870,44,,", &b), "E605", "the meter's own fuse is blown");
    says(&line("0,4.37,870,44,,", &b), "E605", "no light, a lead that does not touch");
    says(&line("20.6,4.37,0,44,,", &b), "E605", "without light nothing can be told");
    says(&line("20.6,4.37,30,44,,", &b), "E605", "too little light");
    says(&line("-20.6,4.37,870,44,,", &b), "E605", "are the leads the wrong way round?");
    says(&line("20.6,1.4,280,30,,", &b), "W602", "measure above 600 W/m²");
}

#[test]
fn volts_and_amperes_in_each_others_place_are_told() {
    says(&line("4.37,20.6,870,44,,", &cells(36)), "E607", "36 cells give about 21 V");
    says(&line("4.37,20.6,870,44,,", &Beside::default()), "E607", "in each other's place?");
    // Eight cells in series give 4.4 V: a panel of its own.
    assert_eq!(line("4.37,20.6,870,44,,", &cells(8)), "");
}

#[test]
fn cells_that_cannot_be_are_told() {
    says(&line("41.2,4.37,870,44,,", &cells(144)), "E608", "write `--cells 72`");
    says(&line("20.6,4.37,870,44,,", &cells(20)), "E608", "count the cells again");
    says(&line("20.6,4.37,870,44,,", &cells(300)), "E608", "bypassed or dead");
}

#[test]
fn a_loaded_point_that_cannot_be_is_told() {
    let b = cells(36);
    says(&line("20.6,4.37,870,44,21,3", &b), "E609", "the light changed between the readings");
    says(&line("20.6,4.37,870,44,15,4.9", &b), "E609", "`load_a` must be below `isc_a`");
    says(&line("20.6,4.37,870,44,19.5,4.3", &b), "E609", "0.93 of open volts");
    says(&line("20.6,4.37,870,44,15.9,", &b), "E609", "give both or neither");
    says(&line("20.6,4.37,870,44,2.1,4.3", &b), "W603", "load it to about 16.5 V");
}

#[test]
fn what_is_missing_is_told() {
    says(&file("voc_v,isc_a,back_temp_c\n20.6,4.37,44\n", &cells(36)), "E606", "irradiance meter");
    says(&file("voc_v,irradiance_w_m2,back_temp_c\n20.6,870,44\n", &cells(36)), "E603", "shorted");
    says(&line("20.6,4.37,870,,,", &cells(36)), "E603", "middle of the panel's back");
    let twin = "voc_v,isc_a,twin_isc_a,back_temp_c\n20.6,4.37,4.55,44\n";
    says(&file(twin, &cells(36)), "E610", "--twin-label-isc");
    let lonely = Beside { cells: None, twin_label_i_sc: Some(Amps(5.3)) };
    says(&line("20.6,4.37,870,44,,", &lonely), "E610", "twin's short-circuit current");
    says(&file("", &cells(36)), "E101", "sungraft label --how");
    says(&file(HEADER, &cells(36)), "E601", "sungraft label --how");
}

#[test]
fn the_shape_of_a_file_is_told_with_line_and_column() {
    let b = cells(36);
    says(&file("voc,isc_a\n20,4\n", &b), "E602", "did you mean `voc_v`?");
    says(&file("voc_v,voc_v\n20,4\n", &b), "E602", "keep one of them");
    says(&file("colour,voc_v\nred,4\n", &b), "E602", "the first line names the columns");
    let comma = line("20,6,4.37,870,44,,", &b);
    says(&comma, "E604", "`;` between the fields");
    assert!(comma.contains("porch.csv:2:1"), "{comma}");
    says(&line("20.6,4.37", &b), "E604", "keep its separator");
    let text = line("20.6,lots,870,44,,", &b);
    says(&text, "E301", "write the bare figure");
    assert!(text.contains("porch.csv:2:6"), "{text}");
    let many: String = std::iter::repeat_n("20.6,4.37,870,44,,\n", 101).collect();
    says(&file(&format!("{HEADER}{many}"), &b), "E611", "is this a logger's file?");
}

#[test]
fn every_mistake_is_told_at_once() {
    let found = line("206,4370,0.87,111,15,", &cells(36));
    assert_eq!(found.matches("error[").count(), 5, "{found}");
}

#[test]
fn a_spreadsheets_own_way_of_writing_is_read() {
    let text = "\u{feff}note;back_temp_c;voc_v;isc_a;irradiance_w_m2\r\nnoon;44;20,6;4,37;870\r\n;;;;\r\n# later\r\n\"two; three\";42,5;20,7;\"4,16\";835\r\n";
    let read = read_readings("porch.csv", text.as_bytes(), &cells(36)).expect("reads").value;
    assert_eq!(read.len(), 2);
    assert_eq!((read[0].name.as_str(), read[0].v_oc.volts()), ("noon", 20.6));
    assert_eq!((read[1].name.as_str(), read[1].i_sc.amps()), ("two; three", 4.16));
    assert_eq!(read[1].temp_back.celsius(), 42.5);
    let tabs = "VOC_V\tisc_a\tirradiance_w_m2\tback_temp_c\n20.6\t4.37\t870\t44\n";
    let read = read_readings("porch.csv", tabs.as_bytes(), &cells(36)).expect("reads").value;
    assert_eq!(read[0].name, "line 2");
}

#[test]
fn options_are_called_by_their_own_names() {
    let b = cells(36);
    let options = [("--voc", "20.6"), ("--isc", "4370"), ("--irradiance", "870")];
    let found = typed(&options, &b);
    says(&found, "E605", "4370 mA are 4.37 A");
    says(&found, "E603", "thermometer");
    assert!(found.contains("`--isc` must be above 0") && found.contains("the command line:2:7"));
    says(&typed(&[("--voc", "20,6")], &b), "E302", "write `20.6`");
}

#[test]
fn a_label_on_the_command_line_is_held_against_itself() {
    let label = |vmp: &str, pmax: &str| {
        read_typed_label(&[
            ("--label-pmax", pmax),
            ("--label-vmp", vmp),
            ("--label-imp", "4.97"),
            ("--label-voc", "22.2"),
            ("--label-isc", "5.3"),
        ])
    };
    assert_eq!(label("18.1", "90").expect("a label").value.v_mp.volts(), 18.1);
    let found = label("31", "90").expect_err("refused").to_string();
    assert!(found.contains("E307") && found.contains("--label-vmp 31"), "{found}");
    assert!(label("18.1", "900").expect_err("refused").to_string().contains("E309"));
    let found = read_typed_label(&[("--label-voc", "22.2")]).expect_err("refused").to_string();
    assert_eq!(found.matches("E202").count(), 4, "{found}");
}

#[test]
fn every_code_of_readings_has_a_row_in_its_page() {
    let codes = include_str!("../../src/input/readings/codes.rs");
    let page = include_str!("../../docs/label.md");
    let declared: Vec<&str> =
        codes.lines().filter_map(|l| l.split('"').nth(1)).filter(|c| c.len() == 4).collect();
    assert!(declared.len() >= 14);
    for code in declared {
        assert!(page.contains(&format!("| {code} |")), "{code} is not in docs/label.md");
    }
}

#[test]
fn the_file_to_begin_from_reads_without_a_finding() {
    let starter = sungraft::input::readings_starter();
    let read = read_readings("starter.csv", starter.as_bytes(), &cells(36)).expect("reads");
    assert_eq!((read.value.len(), read.warnings.0.len()), (2, 0));
}
