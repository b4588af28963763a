package org.cellherd.page;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.rule.Runner;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** Packs, readings and alerts for tests. */
final class TestPacks {

  /** Noon UTC on 2026-03-04. */
  static final long NOON = 1_772_625_600_000L;

  static final String HOSTILE =
      "<script>alert(1)</script> \"'`</title></body> \u202Eesrever\u202C \\n {{x}} "
          + "very-long-".repeat(30);

  private TestPacks() {}

  static PagePack pack(String id, String name) {
    return PagePack.polledEvery(
        PackPlan.builder(id, Chemistry.LFP, 4, 1, 100_000).name(name).build(), 1_000);
  }

  static List<PagePack> one() {
    return List.of(pack("crate", "Field crate"));
  }

  static Reading reading(long atMs) {
    return Reading.at(atMs)
        .cells(CellVoltages.ofTenthMv(33_310, 33_305, 33_412, 33_298))
        .temperatures(Temperatures.ofTenthC(214))
        .currentMa(5_250)
        .packMv(13_333)
        .build();
  }

  static PackSummary summary(String sentence) {
    return summary(sentence, Optional.empty());
  }

  static PackSummary summary(String sentence, Optional<Priority> worst) {
    return new PackSummary(
        NOON,
        sentence,
        worst,
        worst.isPresent() ? 1 : 0,
        OptionalDouble.of(11.4),
        Optional.of(new Interval(70, 82, 90)),
        Optional.empty(),
        OptionalDouble.empty(),
        Optional.empty());
  }

  static AlertEvent raised(String id, String text) {
    return new AlertEvent(id + "-1", AlertEvent.Change.RAISED, alert(id, text, Optional.empty()));
  }

  static AlertEvent acknowledged(String id, String text, String by) {
    return new AlertEvent(
        id + "-2", AlertEvent.Change.ACKNOWLEDGED, alert(id, text, Optional.of(by)));
  }

  /** What the log lost: an event without a standing alert. */
  static AlertEvent lost(String text) {
    Alert alert =
        new Alert(
            "l-1",
            new AlertKey("crate", StoreFault.ID, 0),
            AlertState.NORMAL,
            Priority.WARNING,
            NOON,
            NOON,
            0,
            0,
            "",
            text,
            StoreFault.AFTER_DAMAGE,
            Facts.NONE,
            Optional.empty(),
            true);
    return new AlertEvent("l-1:notice", AlertEvent.Change.NOTICE, alert);
  }

  private static Alert alert(String id, String text, Optional<String> by) {
    return new Alert(
        id,
        new AlertKey("crate", Runner.ID, 3),
        by.isPresent() ? AlertState.ACKNOWLEDGED : AlertState.ACTIVE,
        Priority.CRITICAL,
        NOON,
        NOON,
        3_612,
        3_450,
        "mV",
        text,
        "Lower the charge current or voltage.",
        Facts.NONE,
        by,
        true);
  }

  /** A page of one live pack with an alert. */
  static void tell(LiveBoard page, String sentence) {
    page.state("crate", new PackState(PackState.Word.LIVE, NOON, ""));
    page.reading("crate", reading(NOON));
    page.summary("crate", summary(sentence));
  }
}
