//! The report as it comes out of a printer, on both sizes of paper.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::browser::{Browser, scratch};

/// Paper as CSS names it.
pub(crate) const SHEETS: [&str; 2] = ["A4", "letter"];
/// No printer reaches the edge of a sheet: 5 mm. [pt]
const EDGE: f64 = 14.0;
/// Boxes of words include room above and below the letters, so neighbours may touch a little. [pt]
const SLACK: f64 = 2.0;
/// A halo round a word makes its box larger by this, at most. [pt]
const HALO: f64 = 3.0;
/// A report of this many sheets is a book.
const MOST_PAGES: usize = 24;
/// No printed word is smaller: the height of its box is about 1.16 times the size of its type. [pt]
const LOWEST_WORD: f64 = 7.5;

/// What pdftotext escapes, the ampersand last.
const ENTITIES: [(&str, &str); 5] =
    [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&apos;", "'"), ("&amp;", "&")];

/// A printed report.
pub(crate) struct Printed {
    pages: Vec<Page>,
    pdf: PathBuf,
}

struct Page {
    width: f64,
    height: f64,
    words: Vec<Word>,
}

struct Word {
    text: String,
    x: (f64, f64),
    y: (f64, f64),
}

/// Prints a report on paper of a given size.
pub(crate) fn print(browser: &Browser, report: &Path, sheet: &str) -> Printed {
    let place = scratch();
    let page = fs::read_to_string(report).expect("the report is there");
    // Paper is chosen in the print dialog; without one, a rule of the page's own stands for it.
    let on_sheet = format!("<style>@page {{ size: {sheet}; }}</style></head>");
    let (copy, pdf) = (place.join("sheet.html"), place.join("sheet.pdf"));
    fs::write(&copy, page.replacen("</head>", &on_sheet, 1)).expect("can write");
    let to_pdf = format!("--print-to-pdf={}", pdf.display());
    browser.run(&copy, &["--no-pdf-header-footer".into(), to_pdf]);
    let boxes = tool("pdftotext", &["-bbox", &pdf.display().to_string(), "-"]);
    let boxes = String::from_utf8(boxes).expect("is UTF-8");
    let pages = boxes.split("<page ").skip(1).map(page_of).collect();
    Printed { pages, pdf }
}

impl Printed {
    /// All words of a page in a row; empty behind the last page.
    pub(crate) fn page_text(&self, page_idx: usize) -> String {
        let words = self.pages.get(page_idx).map(|p| p.words.as_slice()).unwrap_or_default();
        words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// Words off the sheet, words over each other, too many pages, empty pages, tiny type.
    pub(crate) fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        if !(2..=MOST_PAGES).contains(&self.pages.len()) {
            faults.push(format!("{} pages", self.pages.len()));
        }
        for (i, page) in self.pages.iter().enumerate() {
            faults
                .extend(page.faults().into_iter().map(|fault| format!("page {}: {fault}", i + 1)));
        }
        faults
    }

    /// Of all pages together: pixels with a colour, dark pixels, all pixels.
    pub(crate) fn pixels(&self) -> (usize, usize, usize) {
        let (mut coloured, mut dark, mut all) = (0, 0, 0);
        for i in 1..=self.pages.len() {
            let page = i.to_string();
            let pdf = self.pdf.display().to_string();
            let picture = tool("pdftoppm", &["-r", "40", "-f", &page, "-l", &page, &pdf]);
            for pixel in pixels_of(&picture).chunks_exact(3) {
                all += 1;
                coloured += usize::from(pixel[0] != pixel[1] || pixel[1] != pixel[2]);
                dark += usize::from(pixel[0] < 128);
            }
        }
        (coloured, dark, all)
    }
}

impl Drop for Printed {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(self.pdf.parent().expect("lies in a folder"));
    }
}

impl Page {
    fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        if self.words.len() < 3 {
            faults.push("is empty".to_owned());
        }
        for (i, word) in self.words.iter().enumerate() {
            let inside = EDGE <= word.x.0
                && word.x.1 <= self.width - EDGE
                && EDGE <= word.y.0
                && word.y.1 <= self.height - EDGE;
            if !inside {
                faults.push(format!("\"{}\" runs off the sheet", word.text));
            }
            if word.y.1 - word.y.0 < LOWEST_WORD && word.x.1 - word.x.0 > word.y.1 - word.y.0 {
                faults.push(format!("\"{}\" is set too small", word.text));
            }
            let over = self.words[i + 1..].iter().filter(|other| word.overlaps(other));
            faults.extend(over.map(|o| format!("\"{}\" and \"{}\" overlap", word.text, o.text)));
        }
        faults
    }
}

impl Word {
    /// A word with a halo is set twice in the same place, which is no fault.
    fn overlaps(&self, other: &Self) -> bool {
        let same_place = (self.x.0 - other.x.0).abs() < HALO && (self.y.0 - other.y.0).abs() < HALO;
        if self.text == other.text && same_place {
            return false;
        }
        let common = |a: (f64, f64), b: (f64, f64)| a.1.min(b.1) - a.0.max(b.0);
        common(self.x, other.x) > SLACK && common(self.y, other.y) > SLACK
    }
}

fn tool(program: &str, arguments: &[&str]) -> Vec<u8> {
    let output = Command::new(program).args(arguments).output().expect("is installed");
    assert!(output.status.success(), "{program}: {}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// A page as pdftotext describes it: `width="…" height="…"> <word xMin="…" …>text</word> …`.
fn page_of(text: &str) -> Page {
    Page {
        width: number(text, "width"),
        height: number(text, "height"),
        words: text.split("<word ").skip(1).map(word_of).collect(),
    }
}

fn word_of(text: &str) -> Word {
    let inside = text.split_once('>').expect("a tag ends").1;
    let inside = inside.split_once("</word>").expect("a word ends").0;
    Word {
        text: ENTITIES.iter().fold(inside.to_owned(), |text, (name, c)| text.replace(name, c)),
        x: (number(text, "xMin"), number(text, "xMax")),
        y: (number(text, "yMin"), number(text, "yMax")),
    }
}

fn number(text: &str, attribute: &str) -> f64 {
    let from = text.split_once(&format!("{attribute}=\"")).expect("has the attribute").1;
    from.split_once('"').expect("which ends").0.parse().expect("is a number")
}

/// What follows the head of a portable pixmap: `P6`, width, height, 255.
fn pixels_of(picture: &[u8]) -> &[u8] {
    let ends: Vec<usize> =
        picture.iter().enumerate().filter(|(_, b)| **b == b'\n').map(|(i, _)| i).take(3).collect();
    assert!(picture.starts_with(b"P6\n") && ends.len() == 3, "no pixmap");
    &picture[ends[2] + 1..]
}
