package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Objects;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/**
 * The page has no colours of its own: those it names come from the report, whose contrast is
 * measured there.
 */
class PageColoursTest {

  private static final Pattern COLOUR =
      Pattern.compile("#[0-9a-fA-F]{3,8}\\b|\\b(?:rgb|hsl|lab|lch|oklch|color)a?\\(");

  private static final Pattern NAMED =
      Pattern.compile(
          "(?:^|[;{\\s])(?:color|background(?:-color)?|border-color|fill|stroke):\\s*([a-z]+)\\b(?!\\()");

  @Test
  void everyColourComesFromTheReport() throws Exception {
    String css;
    try (InputStream in = PageColoursTest.class.getResourceAsStream("page.css")) {
      css = new String(Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
    }
    String rules = css.replaceAll("(?s)/\\*.*?\\*/", "").replaceAll("#[a-z-]+(?=[\\s{,.:>])", "id");

    assertThat(COLOUR.matcher(rules).results().map(m -> m.group())).isEmpty();
    assertThat(NAMED.matcher(rules).results().map(m -> m.group(1)))
        .isSubsetOf("inherit", "none", "transparent", "currentcolor");
    assertThat(rules).contains("var(--paper)", "var(--ink)", "var(--soft)", "var(--limit)");
  }
}
