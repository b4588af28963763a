package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.reading;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Runs by clocks that were wrong by days or years, and steps of the clock within them; people are
 * told of alerts, some of which go on from run to run, and write notes. Once each stretch was given
 * its right times, all that was told and written has its own, too.
 */
class RedatedTalkTest {
  private static final int DRAWS = Integer.getInteger("store.redatings", 25);
  private static final long DAY = 24 * HOUR;
  private static final long NOW = T0 + 40_000 * DAY;

  @TempDir private Path folder;

  private Random random = new Random(0);
  private final Map<String, Long> trueMs = new LinkedHashMap<>();
  private final Map<String, Long> trueSinceMs = new LinkedHashMap<>();
  private final Map<String, Long> errorMs = new LinkedHashMap<>();
  private final List<Long> errors = new ArrayList<>();
  private long nowMs;
  private long clockMs;
  private Optional<AlertEvent> open = Optional.empty();
  private long openSinceMs;

  @Test
  void whatWasToldMovesWithItsReadings() throws Exception {
    int moved = 0;
    for (int draw = 0; draw < DRAWS; draw++) {
      random = new Random(draw * 0x9E3779B97F4A7C15L);
      begin();
      String as = "draw " + draw;
      try (LogFile log = LogFile.open(folder.resolve("log-" + draw + ".db"), OpenMode.WRITER)) {
        write(log);
        List<StoredEvent> before = told(log);
        assertThat(log.events(Long.MIN_VALUE, Long.MAX_VALUE))
            .as(as)
            .isSortedAccordingTo(Comparator.comparingLong(e -> e.event().alert().timeMs()));
        moved += correct(log);
        right(log, as);
        for (int i = errors.size(); i-- > 0; ) {
          undo(log, log.redatings("a").get(i).what().offsetMs(), i);
        }
        assertThat(told(log)).as(as + ", undone").isEqualTo(before);
      }
    }
    assertThat(moved).isGreaterThan(DRAWS);
  }

  /** The clock was found to be right after a step: what was told before is of the same run. */
  @Test
  void aClockThatIsSetRightMovesWhatTheRunTold() throws Exception {
    for (int draw = 0; draw < DRAWS; draw++) {
      random = new Random(draw * 0x9E3779B97F4A7C15L + 1);
      begin();
      try (LogFile log = LogFile.open(folder.resolve("run-" + draw + ".db"), OpenMode.WRITER)) {
        log.writer().append("a", new SessionStart(wall(), 1, true, true));
        stretch(log, 1);
        nowMs += HOUR;
        while (clockMs == 0) {
          setClock();
        }
        log.writer().append("a", new SessionStart(wall(), 2, false, true));
        stretch(log, 2);
        nowMs += 10_000;
        log.writer().append("a", new ClockStep(wall(), nowMs));
        clockMs = 0;
        stretch(log, 2);
        log.writer().retime(2);
        alertsRight(log, "draw " + draw);
      }
    }
  }

  private void begin() {
    trueMs.clear();
    trueSinceMs.clear();
    errorMs.clear();
    errors.clear();
    open = Optional.empty();
    nowMs = T0;
    clockMs = 0;
  }

  private void write(LogFile log) throws StorageFailure {
    for (long run = 1; run <= 2 + random.nextInt(4); run++) {
      setClock();
      log.writer().append("a", new SessionStart(wall(), run, true, true));
      stretch(log, run);
      if (random.nextInt(3) == 0) {
        nowMs += 10_000;
        long was = wall();
        setClock();
        log.writer().append("a", new ClockStep(was, wall()));
        stretch(log, run);
      }
      nowMs += HOUR;
      log.writer().append("a", new Gap(wall() - HOUR, wall(), Gap.Cause.NOT_RUNNING));
    }
    log.writer().commit();
  }

  /** Wrong ones lie apart, else nobody could say by its time where something belongs. */
  private void setClock() {
    long days = (20L + random.nextInt(40)) * (1 + errors.size());
    clockMs = random.nextInt(3) == 0 ? 0 : (random.nextBoolean() ? 1 : -1) * days * DAY + 12_345;
  }

  private long wall() {
    return nowMs + clockMs;
  }

  private void stretch(LogFile log, long run) throws StorageFailure {
    if (clockMs != 0) {
      errors.add(clockMs);
    }
    for (int i = 20 + random.nextInt(300); i > 0; i--) {
      nowMs += 10_000;
      log.writer().append("a", reading(wall(), 3300 + i % 7));
      if (random.nextInt(20) == 0) {
        event(log, run, i);
      }
    }
    nowMs += 10_000;
    event(log, run, 0);
    log.writer().commit();
  }

  private void event(LogFile log, long run, int i) throws StorageFailure {
    boolean isNew = open.isEmpty();
    String id =
        open.map(e -> e.alert().id()).orElse("a.cell-high.2." + run + "-" + (trueMs.size() + 1));
    openSinceMs = isNew ? nowMs : openSinceMs;
    boolean isOver = !isNew && random.nextInt(3) == 0;
    Change change = isNew ? Change.RAISED : isOver ? Change.CLEARED : Change.REPEATED;
    long sinceMs = open.map(e -> e.alert().sinceMs()).orElse(wall());
    AlertEvent event =
        new AlertEvent(
            id + ":" + change.word() + "-" + run + "." + trueMs.size(),
            change,
            alert(id, isOver ? AlertState.NORMAL : AlertState.ACTIVE, sinceMs));
    trueMs.put(event.id(), nowMs);
    trueSinceMs.put(event.id(), openSinceMs);
    errorMs.put(event.id(), clockMs);
    log.alertLog().commit(List.of(event));
    open = isOver ? Optional.empty() : Optional.of(event);
    if (i > 0) {
      log.remarks().add(new Note("a", wall(), "ann", Long.toString(nowMs)));
    }
  }

  private Alert alert(String id, AlertState state, long sinceMs) {
    return new Alert(
        id,
        new AlertKey("a", CellHigh.ID, 2),
        state,
        Priority.WARNING,
        sinceMs,
        wall(),
        3600,
        3550,
        "mV",
        "Cell 2 high.",
        "Stop.",
        Facts.of()
            .put("worst", Facts.of().putTime("at", wall()).build())
            .putTime("as_well", wall())
            .build(),
        Optional.empty(),
        true);
  }

  /** As its owner would: one stretch that is wrong after the other. */
  private int correct(LogFile log) throws StorageFailure {
    int moved = 0;
    for (long error : errors) {
      long id = wrong(log, error);
      log.writer().redate(asking(id, -error), false);
      moved++;
    }
    return moved;
  }

  private long wrong(LogFile log, long error) throws StorageFailure {
    return log.stretches("a").stream()
        .filter(s -> Math.abs(s.startMs() - T0 - error) < 10 * DAY)
        .mapToLong(DatedStretch::id)
        .findFirst()
        .orElseThrow();
  }

  private static Redating asking(long stretch, long offset) {
    return new Redating(
        "a", OptionalLong.of(stretch), Long.MIN_VALUE, Long.MAX_VALUE, first -> offset, "me", NOW);
  }

  private void undo(LogFile log, long offset, int place) throws StorageFailure {
    long from = log.redatings("a").get(place).what().fromMs() + offset;
    long stretch =
        log.stretches("a").stream()
            .filter(s -> s.startMs() == from)
            .mapToLong(DatedStretch::id)
            .findFirst()
            .orElseThrow();
    log.writer().redate(asking(stretch, -offset), false);
  }

  private void right(LogFile log, String as) throws StorageFailure {
    alertsRight(log, as);
    for (Note note : log.remarks().notes("a", Long.MIN_VALUE, Long.MAX_VALUE)) {
      assertThat(Long.toString(note.atMs())).as(as).isEqualTo(note.text());
    }
  }

  private void alertsRight(LogFile log, String as) throws StorageFailure {
    for (StoredEvent stored : told(log)) {
      Alert alert = stored.event().alert();
      String id = stored.event().id();
      long own = trueMs.getOrDefault(id, 0L);
      assertThat(alert.timeMs()).as(as + ", " + id).isEqualTo(own);
      assertThat(alert.sinceMs()).as(as + ", " + id).isEqualTo(trueSinceMs.get(id));
      assertThat(alert.evidence().get("as_well")).hasValue(new Fact.Time(own));
      assertThat(alert.evidence().get("worst")).hasValue(Facts.of().putTime("at", own).build());
      long ahead = errorMs.getOrDefault(id, 0L);
      assertThat(alert.text().contains("by a clock that was")).as(as + id).isEqualTo(ahead != 0);
      assertThat(alert.text().contains("ahead")).as(as + id).isEqualTo(ahead > 0);
    }
    for (Alert alert : log.alertLog().standing()) {
      assertThat(alert.timeMs())
          .as(as)
          .isEqualTo(trueMs.values().stream().max(Long::compare).get());
    }
  }

  private static List<StoredEvent> told(LogFile log) throws StorageFailure {
    return log.events("a", Long.MIN_VALUE, Long.MAX_VALUE);
  }
}
