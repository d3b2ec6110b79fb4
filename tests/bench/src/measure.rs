//! Seconds and peak memory of a child process.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

pub struct Ran {
    pub seconds: f64,
    /// The largest resident set while it ran, in kilobytes.
    pub peak_kilobytes: i64,
}

/// Runs a program to its end, which must be success.
pub fn run(program: &Path, arguments: &[String]) -> Result<Ran, String> {
    let start = Instant::now();
    let child = Command::new(program)
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .spawn()
        .map_err(|error| format!("cannot start {}: {error}", program.display()))?;
    let mut status = 0;
    // SAFETY: both pointers are to values that live through the call, and the child was started here and is not waited for elsewhere.
    let (waited, usage) = unsafe {
        let mut usage: libc::rusage = std::mem::zeroed();
        (libc::wait4(child.id() as i32, &mut status, 0, &mut usage), usage)
    };
    let seconds = start.elapsed().as_secs_f64();
    if waited < 0 || !libc::WIFEXITED(status) || libc::WEXITSTATUS(status) != 0 {
        return Err(format!("{} {} failed", program.display(), arguments.join(" ")));
    }
    Ok(Ran { seconds, peak_kilobytes: usage.ru_maxrss })
}

/// Several measurements of one thing.
pub struct Spread {
    pub median: f64,
    least: f64,
    most: f64,
}

impl Spread {
    pub fn of(mut seconds: Vec<f64>) -> Self {
        seconds.sort_by(f64::total_cmp);
        let last = seconds.len().saturating_sub(1);
        let at = |index: usize| seconds.get(index).copied().unwrap_or(f64::NAN);
        Self { median: at(last / 2), least: at(0), most: at(last) }
    }
}

impl std::fmt::Display for Spread {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{:7.3} s ({:.3} to {:.3})", self.median, self.least, self.most)
    }
}
