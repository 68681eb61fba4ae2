//! scratch
#[test]
fn run_commands() {
    let text = std::fs::read_to_string("/tmp/s/cmds").unwrap();
    for line in text.lines().filter(|l| !l.trim().is_empty()) {
        let words = line.split_whitespace().map(std::ffi::OsString::from);
        let out = blankwright::run(
            std::iter::once("blankwright".into()).chain(words),
            &mut blankwright::Disk,
        );
        println!("== {line}\n{}{}", out.out, out.err);
    }
}
