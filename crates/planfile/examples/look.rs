fn main() {
    for p in std::env::args().skip(1) {
        match planfile::load(std::path::Path::new(&p)) {
            Ok(_) => println!("{p} reads"),
            Err(e) => println!("{e}"),
        }
    }
}
