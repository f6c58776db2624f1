//! Places of values, as a person would count them.

use super::*;

/// Every value of a text with its place, lists and groups before what is in them.
fn places(text: &str) -> Vec<String> {
    fn list(node: &Node, out: &mut Vec<String>) {
        let Place { line, column } = node.place;
        match &node.value {
            Value::List(items) => {
                out.push(format!("{line}:{column} list"));
                items.iter().for_each(|item| list(item, out));
            }
            Value::Map(entries) => {
                out.push(format!("{line}:{column} map"));
                for entry in entries {
                    let at = entry.key_place;
                    out.push(format!("{}:{} key {}", at.line, at.column, entry.key));
                    list(&entry.node, out);
                }
            }
            single => out.push(format!("{line}:{column} {}", single.scalar_text().unwrap_or("?"))),
        }
    }
    let mut findings = Findings::new("a.yaml", text);
    let Document { root } = parse_document(text, &mut findings).expect("is YAML");
    let mut out = Vec::new();
    list(&root, &mut out);
    out
}

#[test]
fn every_value_has_the_place_where_it_is_typed() {
    let text = "a: 18.40\nb:\n  - [x, \"y z\"]\n  - {k: true}\ncé: -1e2\n";
    let expected = [
        "1:1 map",
        "1:1 key a",
        "1:4 18.40",
        "2:1 key b",
        "3:6 list",
        "3:6 list",
        "3:6 x",
        "3:9 y z",
        "4:6 map",
        "4:6 key k",
        "4:9 true",
        "5:1 key cé",
        "5:5 -1e2",
    ];
    assert_eq!(places(text), expected);
}

#[test]
fn an_empty_list_has_the_place_of_its_bracket() {
    let text = "a: []\nb:\n  - []\n  - [[], {}]\nc: {}\n";
    let expected = [
        "1:1 map",
        "1:1 key a",
        "1:4 list",
        "2:1 key b",
        "3:5 list",
        "3:5 list",
        "4:6 list",
        "4:6 list",
        "4:10 map",
        "5:1 key c",
        "5:4 map",
    ];
    assert_eq!(places(text), expected);
}

#[test]
fn a_value_behind_an_alias_has_the_place_of_its_anchor() {
    assert_eq!(places("a: &x 7\nb: *x\n"), ["1:1 map", "1:1 key a", "1:4 7", "2:1 key b", "1:4 7"]);
}

#[test]
fn keys_are_kept_twice_and_numbers_as_typed() {
    let expected = ["1:1 map", "1:1 key 7", "1:4 1.0", "2:1 key 7", "2:4 012"];
    assert_eq!(places("7: 1.0\n7: 012\n"), expected);
}

#[test]
fn a_document_may_be_one_value_alone() {
    assert_eq!(places("hello\n"), ["1:1 hello"]);
    assert_eq!(places("# nothing\n").len(), 1);
}
