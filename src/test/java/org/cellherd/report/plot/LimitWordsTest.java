package org.cellherd.report.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.Stream;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

final class LimitWordsTest {

  /** On plots and below them a voltage of a limit has the digits of the cells beside it. */
  @Test
  void everyLimitIsNamedWithItsValueInOneForm() {
    PackPlan plan =
        PackPlan.builder("crate", Chemistry.LFP, 4, 1, 100_000).chargerMa(5_500).build();

    List<String> words =
        Stream.concat(LimitLine.of(plan).stream(), LimitLine.currents(plan).stream())
            .map(LimitLine::words)
            .map(text -> text.replace('\u00a0', ' '))
            .toList();

    assertThat(words)
        .contains("highest 3.650 V", "knee 3.400 V", "lowest 2.500 V", "charger 5.5 A")
        .contains("no charging below 0 \u00b0C");
  }
}
