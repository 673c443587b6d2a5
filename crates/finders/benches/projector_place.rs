//! How long a finder takes.
fn main() {
    divan::main();
}
