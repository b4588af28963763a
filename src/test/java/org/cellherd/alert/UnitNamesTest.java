package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** Whoever is sent to a cell by an alert reads what is written on its units. */
class UnitNamesTest {
  private static final long START_MS = 1_767_225_600_000L;
  private static final long SWAP_MS = START_MS + 600_000;

  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 4, 2, 100_000)
          .chargeMv(14_200)
          .cells(List.of(List.of("a1", "a2"), List.of("b1", "b2"), List.of("c1"), List.of("d1")))
          .history(
              List.of(
                  new PackPlan.Change(
                      SWAP_MS, "b2 replaced", Optional.of(new PackPlan.Swap("b2", "e.7")))))
          .build();
  private final AlertEngine engine = new AlertEngine(plan, Rules.defaults(plan));
  private final FixedView view = new FixedView(plan);

  private List<AlertEvent> feed(long fromMs, int cellTwoMv) {
    List<AlertEvent> told = new ArrayList<>();
    for (long ms = fromMs; ms < fromMs + 100_000; ms += 1000) {
      Reading reading =
          Reading.at(ms).cells(CellVoltages.ofMv(3300, cellTwoMv, 3300, 3300)).currentMa(0).build();
      view.take(reading);
      told.addAll(engine.onEntry(reading, view));
    }
    return told;
  }

  @Test
  void anAlertNamesTheUnitsOfItsTime() {
    assertThat(feed(START_MS, 3700))
        .isNotEmpty()
        .allMatch(e -> e.alert().text().endsWith(" Cell 2 is made of b1, b2."));
    assertThat(engine.standing()).allMatch(a -> a.text().endsWith(" Cell 2 is made of b1, b2."));

    assertThat(feed(SWAP_MS + 1000, 3300))
        .isNotEmpty()
        .allMatch(e -> e.alert().text().endsWith(" Cell 2 is made of b1, e.7."));
  }

  /** After a restart the old text is taken over with its names, and named anew. */
  @Test
  void namesAreToldOnceAfterARestart() {
    feed(START_MS, 3700);
    List<Alert> standing = engine.standing();
    AlertEngine again = new AlertEngine(plan, Rules.defaults(plan));
    again.adopt(standing, SWAP_MS + 5000);

    assertThat(again.standing())
        .isNotEmpty()
        .allSatisfy(a -> assertThat(a.text().split("is made of")).hasSize(2));
  }
}
