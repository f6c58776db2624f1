//! The README's commands do what it says: every `console` block prints what stands under its command,
//! and every `sh` block runs.
//!
//! `SUNGRAFT_BLESS=1 cargo test --test readme` writes the output of `console` blocks anew.
//! The commands are run by `sh`, with this build standing for `sungraft` and `cargo run --release --`.
#![cfg(unix)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const BUILT: &str = "cargo run --release -- ";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).expect("readable")
}

/// The insides of fenced blocks of one language, without the fences.
fn blocks<'a>(page: &'a str, language: &str) -> Vec<&'a str> {
    let fence = format!("```{language}\n");
    let ends = |block: &'a str| block.split_once("```").expect("every fence is closed").0;
    page.split(fence.as_str()).skip(1).map(ends).collect()
}

/// An empty folder of this test's own, in which the scenarios can be found.
fn workplace(name: &str) -> PathBuf {
    let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    // It may not exist yet.
    let _ = fs::remove_dir_all(&place);
    fs::create_dir_all(&place).expect("can make the folder");
    std::os::unix::fs::symlink(root().join("scenarios"), place.join("scenarios"))
        .expect("can link");
    place
}

fn run(script: &str, place: &Path) -> Output {
    let program = Path::new(env!("CARGO_BIN_EXE_sungraft"));
    let folder = program.parent().expect("lies in a folder").display();
    let path = std::env::var("PATH").unwrap_or_default();
    Command::new("sh")
        .args(["-e", "-c", &script.replace(BUILT, "sungraft ")])
        .env("PATH", format!("{folder}:{path}"))
        .current_dir(place)
        .output()
        .expect("sh is there")
}

#[test]
fn the_console_blocks_print_what_stands_under_their_command() {
    let mut page = readme();
    let place = workplace("readme-console");
    let blocks: Vec<String> = blocks(&page, "console").into_iter().map(str::to_owned).collect();
    assert!(!blocks.is_empty());
    for block in blocks {
        let (command, shown) = block.split_once('\n').expect("a command on a line of its own");
        let command = command.strip_prefix("$ ").expect("a command behind $");
        let found = String::from_utf8(run(command, &place).stdout).expect("is UTF-8");
        if std::env::var_os("SUNGRAFT_BLESS").is_some() {
            page = page.replacen(&block, &format!("$ {command}\n{found}"), 1);
            fs::write(root().join("README.md"), &page).expect("can write the README");
        } else {
            assert_eq!(shown, found, "{command}");
        }
    }
}

#[test]
fn the_sh_blocks_run_one_after_the_other() {
    let page = readme();
    let place = workplace("readme-sh");
    // Building and testing inside a test would wait for each other.
    let ours = |block: &&str| !block.replace(BUILT, "").contains("cargo ");
    let blocks: Vec<&str> = blocks(&page, "sh").into_iter().filter(ours).collect();
    assert!(!blocks.is_empty());
    for block in blocks {
        let output = run(block, &place);
        assert!(output.status.success(), "{block}{}", String::from_utf8_lossy(&output.stderr));
    }
}

#[test]
fn the_two_commands_that_do_everything_stand_above_all_sections() {
    let page = readme();
    let top = page.split("\n## ").next().expect("has a beginning");
    assert!(top.contains(&format!("$ {BUILT}advise scenarios/seed-shed.yaml\n")));
    assert!(top.contains("```sh\ncargo test\n```"));
}
