//! What an installed program gives a shell and the manual.

use std::path::Path;
use std::process::Command;

use crate::bench::{Bench, snapshot};

const SHELLS: [&str; 5] = ["bash", "elvish", "fish", "powershell", "zsh"];
const COMMANDS: [&str; 15] = [
    "inspect",
    "mend",
    "orient",
    "window",
    "ledger",
    "why",
    "dimensions",
    "gauge",
    "new",
    "format",
    "settings",
    "install-hook",
    "language-server",
    "completions",
    "man",
];

#[test]
fn every_shell_is_given_the_commands() {
    let bench = Bench::new();
    for shell in SHELLS {
        let outcome = bench.run(&["completions", shell]);
        assert_eq!(outcome.code, 0, "{shell}: {}", outcome.err);
        for word in COMMANDS.iter().chain(&["threshold"]) {
            assert!(outcome.out.contains(word), "{shell} does not complete {word}");
        }
        // The script generators of the other two take no words for values.
        let has_rules = outcome.out.contains("thin-wall");
        assert_eq!(has_rules, !["elvish", "powershell"].contains(&shell), "{shell}");
    }
    let unknown = bench.run(&["completions", "cobol"]);
    assert_eq!((unknown.code, unknown.out.as_str()), (2, ""));
}

/// Each shell that is installed here reads its own script without running it.
#[test]
fn the_shells_read_their_scripts() {
    let bench = Bench::new();
    for shell in ["bash", "fish", "zsh"].into_iter().filter(|shell| is_there(shell)) {
        bench.write("script", bench.run(&["completions", shell]).out);
        let output = Command::new(shell).arg("-n").arg(bench.path("script")).output().unwrap();
        assert!(output.status.success() && output.stderr.is_empty(), "{shell}: {output:?}");
    }
}

#[cfg(unix)]
#[test]
fn bash_completes_commands_flags_values_and_rules() {
    let bench = Bench::new();
    bench.write("script", bench.run(&["completions", "bash"]).out);
    let completed = |words: &str| {
        let script = format!(
            "source '{}'; COMP_WORDS=({words}); COMP_CWORD=$(({} - 1)); \
             _dryfit dryfit \"${{COMP_WORDS[-1]}}\" \"${{COMP_WORDS[-2]}}\"; printf '%s\\n' \"${{COMPREPLY[@]}}\"",
            bench.path("script").display(),
            words.split(' ').count()
        );
        let output = Command::new("bash").args(["--norc", "-c", &script]).output().unwrap();
        assert!(output.stderr.is_empty(), "{words}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    assert_eq!(completed("dryfit insp"), "inspect\n");
    assert_eq!(completed("dryfit inspect --thr"), "--threshold\n");
    assert_eq!(completed("dryfit inspect --threshold c"), "care\n");
    assert_eq!(completed("dryfit inspect --only thin-w"), "thin-wall\n");
    assert_eq!(completed("dryfit why overstrained-a"), "overstrained-arm\n");
    assert_eq!(completed("dryfit man lang"), "language-server\n");
}

#[test]
fn the_manual_has_a_page_for_the_program_and_each_command() {
    let bench = Bench::new();
    let program = bench.run(&["man"]).out;
    for command in COMMANDS {
        let page = bench.run(&["man", command]).out;
        assert!(page.contains(&format!(".SH NAME\ndryfit\\-{}", command.replace('-', "\\-"))), "{command}: {page}");
        assert!(page.contains("\\-\\-colour"), "{command}: what the program takes is missing");
        assert!(program.contains(&format!("dryfit\\-{}(1)", command.replace('-', "\\-"))), "{command} is not listed");
    }
    assert!(program.contains("never calls a part safe"), "the cautions are missing");
    let unknown = bench.run(&["man", "inspekt"]);
    assert_eq!(unknown.code, 2);
    assert_eq!(unknown.err, "dryfit: there is no command `inspekt`; did you mean `inspect`?\n");
}

/// Two formatters for manual pages, where they are installed, have nothing against ours but the style of their source.
#[test]
fn the_manuals_pages_are_well_formed() {
    let bench = Bench::new();
    for arguments in COMMANDS.iter().map(|command| vec!["man", *command]).chain([vec!["man"]]) {
        bench.write("page.1", bench.run(&arguments).out);
        for checker in [&["groff", "-man", "-ww", "-z"][..], &["mandoc", "-T", "lint", "-W", "error"]] {
            let [program, flags @ ..] = checker else { continue };
            if is_there(program) {
                let output = Command::new(program).args(flags).arg(bench.path("page.1")).output().unwrap();
                let said = [output.stdout, output.stderr].concat();
                assert!(said.is_empty(), "{program} on {arguments:?}: {}", String::from_utf8_lossy(&said));
            }
        }
    }
}

#[test]
fn the_help_shows_where_scripts_and_pages_go() {
    let bench = Bench::new();
    snapshot("help-completions", bench.run(&["completions", "--help"]).out);
    snapshot("help-man", bench.run(&["man", "--help"]).out);
}

fn is_there(program: &str) -> bool {
    let found = |folder: &Path| folder.join(program).is_file();
    std::env::var_os("PATH").is_some_and(|path| std::env::split_paths(&path).any(|folder| found(&folder)))
}
