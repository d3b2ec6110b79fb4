//! Arguments in, exit status out; nothing else.

/// Pressing makes and drops millions of short strings; the C library's allocator took a third of the time.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    bluecone::command::run()
}
