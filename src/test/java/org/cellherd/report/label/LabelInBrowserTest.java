package org.cellherd.report.label;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.BrowserTab;
import org.cellherd.OneBrowser;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The label as a browser shows it that has other fonts than the one it was measured by. */
class LabelInBrowserTest {

  /** The edges of the text and of the squares of the code, as drawn. */
  private static final String LOOK =
      """
      const box = (node) => node.getBBox();
      const texts = [...document.querySelectorAll('text')].map(box);
      const code = [...document.querySelectorAll('rect')].slice(1).map(box);
      const right = (all) => Math.max(...all.map((b) => b.x + b.width));
      const under = Math.max(...code.map((b) => b.y + b.height));
      [right(texts), right(texts.filter((b) => b.y < under)), Math.min(...code.map((b) => b.x))].join()
      """;

  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();
  @TempDir private Path folder;

  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void noLineIsCutOffOrRunsIntoTheCode(PackLabel.Size size) throws Exception {
    Path file = folder.resolve("label.svg");
    Files.writeString(file, PackLabel.svg(PackLabelTest.wordy(), size));
    BrowserTab tab = BROWSER.tab();
    tab.go(file.toUri().toString());

    String[] edges =
        tab.text("(() => {" + LOOK.replace("[right(texts),", "return [right(texts),") + "})()")
            .split(",");
    double margin = size.heightMm() * 0.5;
    assertThat(Double.parseDouble(edges[0])).isLessThan(size.widthMm() * 10 - margin + 1);
    assertThat(Double.parseDouble(edges[1])).isLessThan(Double.parseDouble(edges[2]));
  }
}
