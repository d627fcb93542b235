//! Who is let in at the engine, and by which certificates: a TOML file that only its owner may read.

use std::{
    io,
    path::{Path, PathBuf},
};

use serde::Deserialize;
use thiserror::Error;

/// What the nodes ask for.
#[derive(Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Access {
    /// The certificate that the nodes' own are signed by, a PEM file; with it TLS is spoken.
    ca: Option<PathBuf>,
    /// Our certificate, a PEM file.
    cert: Option<PathBuf>,
    /// Its key, a PEM file.
    key: Option<PathBuf>,
    /// The user.
    pub(crate) user: Option<String>,
    /// The user's password.
    pub(crate) password: Option<String>,
    #[serde(skip)]
    pub(crate) pem: Pem,
}

/// What was read of the PEM files.
#[derive(Clone, Default, PartialEq, Eq)]
pub(crate) struct Pem {
    pub(crate) ca: Option<Vec<u8>>,
    pub(crate) own: Option<(Vec<u8>, Vec<u8>)>,
}

/// Why the file cannot be used.
#[derive(Debug, Error)]
pub enum BadAccess {
    /// A file cannot be read.
    #[error("{}: {source}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// Others on this machine may read it.
    #[error("{}: others on this machine may read it (its rights are {rights:o}): chmod 600", path.display())]
    Open {
        /// Which.
        path: PathBuf,
        /// Its rights.
        rights: u32,
    },
    /// It is no such file.
    #[error("{}: {why}", path.display())]
    Form {
        /// Which.
        path: PathBuf,
        /// Why.
        why: String,
    },
}

impl Access {
    /// Reads the file, and the PEM files that it names, beside it if they are not named from the root.
    ///
    /// # Errors
    /// [`BadAccess`] says what is wrong.
    pub fn read(path: &Path) -> Result<Self, BadAccess> {
        let read = |path: &Path| {
            std::fs::read(path).map_err(|source| BadAccess::File { path: path.to_owned(), source })
        };
        let private = |path: &Path| match burrline_disk::private::open_to_others(path) {
            Ok(None) => Ok(()),
            Ok(Some(rights)) => Err(BadAccess::Open { path: path.to_owned(), rights }),
            Err(source) => Err(BadAccess::File { path: path.to_owned(), source }),
        };
        let form = |why: String| BadAccess::Form { path: path.to_owned(), why };
        private(path)?;
        let text = String::from_utf8(read(path)?).map_err(|error| form(error.to_string()))?;
        // Its words may quote the line, and a line may be the password.
        let mut access: Self =
            toml::from_str(&text).map_err(|error| form(error.message().to_owned()))?;
        if access.user.is_some() != access.password.is_some() {
            return Err(form("user and password go together".to_owned()));
        }
        let beside = |file: &PathBuf| path.parent().unwrap_or(Path::new(".")).join(file);
        access.pem.ca = access.ca.as_ref().map(|ca| read(&beside(ca))).transpose()?;
        access.pem.own = match (&access.cert, &access.key) {
            (None, None) => None,
            (Some(cert), Some(key)) if access.ca.is_some() => {
                private(&beside(key))?;
                Some((read(&beside(cert))?, read(&beside(key))?))
            }
            _ => return Err(form("cert and key go together, and with ca".to_owned())),
        };
        Ok(access)
    }
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt as _;

    use super::*;

    fn written(text: &str, rights: u32) -> (tempfile::TempDir, PathBuf) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("access.toml");
        std::fs::write(&path, text).unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(rights)).unwrap();
        (dir, path)
    }

    #[test]
    fn a_password_is_read_from_a_file_of_its_owner_alone_and_never_told() {
        let (_dir, path) = written("user = \"shop\"\npassword = \"bone\"\n", 0o600);
        let access = Access::read(&path).unwrap();
        assert_eq!(
            (access.user.as_deref(), access.password.as_deref()),
            (Some("shop"), Some("bone"))
        );
        let (_dir, path) = written("user = \"shop\"\npassword = \"bone\"\n", 0o640);
        let words = Access::read(&path).err().unwrap().to_string();
        assert!(words.contains("640") && words.contains("chmod 600"), "{words}");
        for text in ["pass = \"bone\"", "password = bone", "password = \"bone\"", "cert = \"bone\""]
        {
            let (_dir, path) = written(text, 0o600);
            let words = Access::read(&path).err().unwrap().to_string();
            assert!(!words.contains("bone"), "{words}");
        }
        let (_dir, path) = written("ca = \"ca.pem\"", 0o600);
        assert!(matches!(Access::read(&path), Err(BadAccess::File { .. })));
    }
}
