//! `bluecone press`: the handbook becomes a site.

use std::path::PathBuf;
use std::time::Duration;

use clap::Args;
use indicatif::ProgressBar;

use super::{Ending, complain, default_book, error_is_terminal, must_be_folder, report, say};
use crate::Proofed;
use crate::site::{MANIFEST, Refusal, Site};
use crate::source::Sources;
use crate::theme::Theme;

/// Turn a handbook into a site.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone press                      content/ becomes site/
  bluecone press shop-book --to out   shop-book/ becomes out/
  bluecone press --theme our-look     files in our-look/ stand in for the theme's own

The handbook is checked first. If anything is wrong, nothing is written. A target folder that holds
files which no press wrote is refused. The same handbook always gives the same bytes.")]
pub struct Press {
    /// The handbook's folder
    #[arg(default_value_os_t = default_book())]
    book: PathBuf,
    /// Where the site goes
    #[arg(long, value_name = "DIR", default_value = "site")]
    to: PathBuf,
    /// A folder whose files stand in for those of the built-in theme
    #[arg(long, value_name = "DIR")]
    theme: Option<PathBuf>,
}

pub fn run(call: &Press) -> Ending {
    if let Err(ending) = must_be_folder(&call.book) {
        return ending;
    }
    let progress = progress();
    let ending = press(call, &progress);
    progress.finish_and_clear();
    match ending {
        Ok(words) => say(&words),
        Err((ending, words)) => {
            if !words.is_empty() {
                complain(&words);
            }
            ending
        }
    }
}

fn press(call: &Press, progress: &ProgressBar) -> Result<String, (Ending, String)> {
    progress.set_message("reading and checking");
    let Proofed { sources, diagnostics, handbook } =
        crate::proof(&call.book).map_err(|error| (Ending::MachineFailed, format!("cannot read {}: {error}", call.book.display())))?;
    progress.suspend(|| report::show(&diagnostics, &sources));
    // Nothing points into the texts any more.
    drop((sources, diagnostics));
    let Some(handbook) = handbook else {
        return Err((Ending::Problems, "nothing was written".to_owned()));
    };
    let mut theme = Theme::built_in();
    if let Some(folder) = &call.theme {
        if !folder.is_dir() {
            return Err((
                Ending::WrongCall,
                format!("there is no folder {}; a theme is a folder with templates/ and assets/", folder.display()),
            ));
        }
        let cannot = |error| (Ending::WrongCall, format!("cannot read the theme {}: {error}", folder.display()));
        let strange = theme.lay_folder(folder).map_err(cannot)?;
        let mut sources = Sources::default();
        let diagnostics: Vec<_> = strange.into_iter().map(|problem| problem.diagnostic(&mut sources)).collect();
        progress.suspend(|| report::show(&diagnostics, &sources));
    }
    progress.set_message("drawing and writing pages");
    let left = if call.to.join(MANIFEST).is_file() { "the old site is as it was" } else { "no site was written" };
    let refused = |refusal: Refusal| match refusal {
        Refusal::NotOurs(_) => (Ending::WrongCall, refusal.to_string()),
        Refusal::Machine { .. } => (Ending::MachineFailed, format!("{refusal}; {left}")),
    };
    let site = Site::begin(&call.to, &call.book).map_err(refused)?;
    crate::press(&handbook, &theme, &|file| site.put(file)).map_err(|problems| {
        let mut sources = Sources::default();
        let diagnostics: Vec<_> = problems.into_iter().map(|problem| problem.diagnostic(&mut sources)).collect();
        progress.suspend(|| report::show(&diagnostics, &sources));
        (Ending::Problems, "nothing was written".to_owned())
    })?;
    // The program is about to end; to take a large handbook apart first would only take time.
    std::mem::forget(handbook);
    let written = site.finish().map_err(refused)?;
    let folder = call.to.display();
    let size = written.bytes as f64 / 1e6;
    Ok(format!("{folder}: {} files, {size:.1} MB, {} unchanged; open {folder}/index.html\n", written.files, written.unchanged))
}

/// A spinner on a terminal; nothing when standard error is piped.
fn progress() -> ProgressBar {
    if !error_is_terminal() {
        return ProgressBar::hidden();
    }
    let progress = ProgressBar::new_spinner();
    progress.enable_steady_tick(Duration::from_millis(120));
    progress
}
