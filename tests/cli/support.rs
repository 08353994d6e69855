//! Runs the program in a clean environment and keeps everything it says.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The day that counts as today, whatever the clock says.
pub(crate) const TODAY: &str = "2026-11-27";

/// One run of the program.
pub(crate) struct Run {
    command: Command,
}

/// What a run said.
pub(crate) struct Said {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// A run with these arguments, from the root of the project, with an empty environment.
#[must_use]
pub(crate) fn trayful(args: &[&str]) -> Run {
    let mut command = Command::new(env!("CARGO_BIN_EXE_trayful"));
    command.args(args).current_dir(root()).env_clear();
    command.env("TRAYFUL_TODAY", TODAY);
    Run { command }
}

impl Run {
    #[must_use]
    pub(crate) fn inside(mut self, folder: &Path) -> Self {
        self.command.current_dir(folder);
        self
    }

    #[must_use]
    pub(crate) fn with(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// Runs to the end, whatever the end is.
    pub(crate) fn said(mut self) -> Said {
        said(&self.command.output().unwrap())
    }

    /// Runs, and must succeed in silence but for its answer.
    pub(crate) fn answer(self) -> String {
        let said = self.said();
        assert_eq!((said.code, said.err.as_str()), (0, ""), "{}", said.out);
        said.out
    }

    /// Runs, and must be refused with exit code 2 and no answer.
    pub(crate) fn refusal(self) -> String {
        let said = self.said();
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{}", said.err);
        assert!(!said.err.contains("panicked"), "{}", said.err);
        said.err
    }
}

/// Decodes what a finished process said.
pub(crate) fn said(output: &Output) -> Said {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    Said {
        code: output.status.code().unwrap_or(-1),
        out: text(&output.stdout),
        err: text(&output.stderr),
    }
}

/// The root of the project.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A folder with these files in it.
pub(crate) fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    folder
}
