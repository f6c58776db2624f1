//! Where the texts and shapes of a drawing lie.

/// A rectangle: left, top, right, bottom.
type Box = [f64; 4];

const SIZE: f64 = 13.0;

/// Width of a text in a wide typeface, from the letters' widths in DejaVu Sans (public metrics).
fn wide(text: &str) -> f64 {
    let of = |c: char| match c {
        ' ' | '\u{a0}' | '.' | ',' => 0.32,
        'i' | 'j' | 'l' => 0.278,
        'f' | 'r' | 't' | '-' | '(' | ')' | ':' | '/' | '\'' => 0.40,
        'm' | 'w' | 'W' | 'M' | '…' => 0.97,
        '−' | '+' | '×' | '→' => 0.838,
        'A'..='Z' => 0.75,
        _ => 0.636,
    };
    text.chars().map(of).sum::<f64>() * SIZE
}

fn number(node: roxmltree::Node, name: &str) -> f64 {
    node.attribute(name).and_then(|x| x.parse().ok()).unwrap_or_else(|| panic!("{name}: {node:?}"))
}

fn text_box(node: roxmltree::Node) -> Box {
    let (x, y) = (number(node, "x"), number(node, "y"));
    let text = node.text().unwrap_or("");
    let bold = if node.attribute("font-weight").is_some() { 1.1 } else { 1.0 };
    let w = wide(text) * bold;
    let left = match node.attribute("text-anchor") {
        Some("middle") => -w / 2.0,
        Some("end") => -w,
        _ => 0.0,
    };
    let (up, down) = (SIZE * 0.73, SIZE * 0.2);
    if node.attribute("transform").is_some() {
        return [x - up, y - left - w, x + down, y - left];
    }
    [x + left, y - up, x + left + w, y + down]
}

fn shape_box(node: roxmltree::Node) -> Option<Box> {
    match node.tag_name().name() {
        "rect" if node.attribute("x").is_some() => {
            let (x, y) = (number(node, "x"), number(node, "y"));
            Some([x, y, x + number(node, "width"), y + number(node, "height")])
        }
        "circle" => {
            let (x, y, r) = (number(node, "cx"), number(node, "cy"), number(node, "r"));
            Some([x - r, y - r, x + r, y + r])
        }
        "polyline" => {
            let points = node.attribute("points").expect("has points").split([' ', ',']);
            let numbers: Vec<f64> = points.map(|p| p.parse().expect("a number")).collect();
            let fold = |at: usize, f: fn(f64, f64) -> f64| {
                numbers.iter().skip(at).step_by(2).copied().reduce(f).expect("has points")
            };
            Some([fold(0, f64::min), fold(1, f64::min), fold(0, f64::max), fold(1, f64::max)])
        }
        _ => None,
    }
}

/// What is wrong with a drawing.
pub(crate) fn check(svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).expect("is XML");
    let root = document.root_element();
    let (w, h) = (number(root, "width"), number(root, "height"));
    let inside = |b: &Box| b[0] >= 0.0 && b[1] >= 0.0 && b[2] <= w && b[3] <= h;
    let mut wrong = Vec::new();
    if w > 730.0 {
        wrong.push(format!("{w} wide: letters would be too small on paper"));
    }
    let nodes = || document.descendants().filter(|n| n.is_element());
    for (node, shape) in nodes().filter_map(|n| shape_box(n).map(|b| (n, b))) {
        if !inside(&shape) {
            wrong.push(format!("{} {shape:?} is not inside {w} x {h}", node.tag_name().name()));
        }
    }
    let texts: Vec<(&str, Box)> = nodes()
        .filter(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "text")))
        .map(|n| (n.text().unwrap_or(""), text_box(n)))
        .collect();
    for (i, (text, b)) in texts.iter().enumerate() {
        if !inside(b) {
            wrong.push(format!("`{text}` {b:?} is not inside {w} x {h}"));
        }
        for (other, o) in &texts[..i] {
            if b[0] < o[2] && o[0] < b[2] && b[1] < o[3] && o[1] < b[3] {
                wrong.push(format!("`{text}` {b:?} lies on `{other}` {o:?}"));
            }
        }
    }
    wrong
}

/// All texts, with ordinary spaces.
pub(crate) fn texts(svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).expect("is XML");
    let texts = document.descendants().filter(|n| n.tag_name().name() == "text");
    texts.map(|n| n.text().unwrap_or("").replace('\u{a0}', " ")).collect()
}

#[test]
fn the_check_finds_what_is_wrong() {
    let svg = |body: &str| {
        format!(r#"<svg xmlns="http://www.w3.org/2000/svg" width="100" height="50">{body}</svg>"#)
    };
    let fine = r#"<text x="10" y="20">shed</text><text x="60" y="20">barn</text>"#;
    assert!(check(&svg(fine)).is_empty());
    let on_each_other = r#"<text x="10" y="20">shed</text><text x="30" y="22">barn</text>"#;
    assert_eq!(check(&svg(on_each_other)).len(), 1);
    assert_eq!(check(&svg(r#"<text x="80" y="20">shed</text>"#)).len(), 1);
    assert_eq!(check(&svg(r#"<polyline points="0,0 120,10"/>"#)).len(), 1);
}
