//! The frame of every page: one file that loads nothing from elsewhere.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// A whole page: its title, its own style and what stands in it. The same words always make the
/// same bytes, since a packet's page is made again to check it.
pub fn document(title: &str, style: &str, body: Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(style)) }
            }
            body { (body) }
        }
    };
    page.into_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_names_its_kind_its_signs_and_its_width_and_escapes_its_title() {
        let page = document("Alder <Creek>", "p{margin:0}", html! { p { "a" } });
        assert_eq!(
            page,
            "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
             <title>Alder &lt;Creek&gt;</title><style>p{margin:0}</style></head>\
             <body><p>a</p></body></html>"
        );
    }
}
