//! A page to print as the browser shows it: with links to print it and to go back, which are not
//! printed.

use super::assets;

/// The style of the links. It joins the one style of the page, whose digest the policy allows.
const STYLE: &str = "\
.ways { display: flex; flex-wrap: wrap; gap: 12px; padding: 12px; font: 600 18px/1.4 system-ui, sans-serif; background: #fbf5ec }
.ways > * { display: inline-flex; align-items: center; min-height: 48px; padding: 8px 20px; font: inherit; color: #8c1d4f; background: #fffdf9; border: 2px solid #8a7868; border-radius: 12px; text-decoration: none }
.ways [hidden] { display: none }
.ways :focus-visible { outline: 3px solid #8c1d4f; outline-offset: 3px }
@media print { .ways { display: none } }
";

/// The page with its links. The policy inside the page, which forbids scripts, is replaced by that
/// of the answer.
pub(super) fn with_links(page: &str, back: &str) -> String {
    let links = format!(
        "<nav class=\"ways\" aria-label=\"This page\"><a href=\"{back}\">Back</a><button type=\"button\" data-print hidden>Print</button></nav>"
    );
    let script = format!("<script src=\"{}\" defer></script>", assets::script());
    let lines = page
        .lines()
        .filter(|line| !line.starts_with("<meta http-equiv=\"Content-Security-Policy\""));
    let page: String = lines.flat_map(|line| [line, "\n"]).collect();
    page.replacen("</style>", &format!("{STYLE}</style>\n{script}"), 1)
        .replacen("<body>", &format!("<body>\n{links}"), 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_has_a_link_back_and_one_style() {
        let sheet = "<head>\n<meta http-equiv=\"Content-Security-Policy\" content=\"x\">\n<style>\nb {}\n</style>\n</head>\n<body>\nwords\n</body>\n";
        let page = with_links(sheet, "/visit");
        assert!(page.contains("<a href=\"/visit\">Back</a>") && page.contains("words"));
        assert_eq!(page.matches("<style>").count(), 1);
        assert!(!page.contains("http-equiv"));
    }
}
