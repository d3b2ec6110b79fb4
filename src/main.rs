//! Arguments in, exit status out; nothing else.

fn main() -> std::process::ExitCode {
    bluecone::command::run()
}
