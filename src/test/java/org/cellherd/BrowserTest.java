package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

final class BrowserTest {

  private static Browser browser;

  @BeforeAll
  static void start() {
    browser = Browser.start();
  }

  @AfterAll
  static void stop() {
    if (browser != null) {
      browser.close();
    }
  }

  @Test
  void aFileIsShownAndItsNamesAreHeard(@TempDir Path folder) throws IOException {
    Path file = folder.resolve("a.html");
    Files.writeString(
        file,
        "<!DOCTYPE html><html lang=en><title>t</title><button>Seen</button>"
            + "<script>console.error('loud')</script>");

    try (BrowserTab tab = browser.tab()) {
      tab.size(360, 700);
      tab.dark(true);
      tab.go(file.toUri().toString());
      tab.press("Tab");

      assertThat(tab.text("document.activeElement.textContent")).isEqualTo("Seen");
      assertThat(tab.is("matchMedia('(prefers-color-scheme:dark)').matches")).isTrue();
      assertThat(tab.accessibility()).contains("button \"Seen\"");
      assertThat(tab.requests()).allMatch(url -> url.startsWith("file:"));
      assertThat(tab.complaints()).anyMatch(text -> text.contains("loud"));
      assertThat(tab.scrollsSideways()).isFalse();
    }
  }
}
