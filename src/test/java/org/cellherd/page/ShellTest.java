package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.stream.Stream;
import org.cellherd.ComputerTime;
import org.cellherd.pack.Cautions;
import org.cellherd.report.scene.Markup;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

final class ShellTest {

  static Stream<String> pages() {
    Shell shell = new Shell("cabin", ZoneOffset.UTC, true, new ComputerTime());
    return Stream.of(
        shell.now("", "", "", "[]"),
        shell.now("crate", "Crate", "", "[]"),
        shell.past("crate", "Crate"),
        shell.reports("<p>none</p>"),
        shell.login(""));
  }

  @ParameterizedTest
  @MethodSource("pages")
  void everyPageEndsWithAllCautions(String page) {
    String footer = page.substring(page.indexOf("<footer>"));

    assertThat(Cautions.LIST)
        .allSatisfy(caution -> assertThat(footer).contains(Markup.text(caution)));
  }
}
