package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.alert.rule.WrongBoard;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Temperatures;
import org.cellherd.pack.Worded;
import org.jspecify.annotations.Nullable;

/** Runs one plain-text scenario; README.txt beside the scenarios says what the words mean. */
final class AlertScenario {
  /** A number, two with their way, or none. */
  private static final String VALUE = "-|[-0-9.]+";

  private static final Set<RuleId> PROGRAM = Set.of(StoreFault.ID, WrongBoard.ID);
  private static final long DAY_ONE = Instant.parse("2026-01-10T00:00:00Z").toEpochMilli();

  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT).withZone(ZoneOffset.UTC);

  private PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);
  private AlertSettings settings = Rules.defaults(plan);
  private AlertEngine engine = new AlertEngine(plan, settings);
  private FixedView view = new FixedView(plan);
  private @Nullable Alert ended;
  private final Deque<AlertEvent> events = new ArrayDeque<>();
  private final Map<AlertKey, Alert> log = new LinkedHashMap<>();
  private long nowMs = DAY_ONE;
  private long everyMs = 1000;
  private long session = 1;
  private long seed = 1;
  private double noiseMv;
  private boolean begun;

  void run(List<String> lines) {
    for (int i = 0; i < lines.size(); i++) {
      String line = lines.get(i).replaceAll("#.*", "").strip();
      if (line.isEmpty()) {
        continue;
      }
      try {
        step(line.split("\\s+"));
      } catch (AssertionError | RuntimeException e) {
        throw new AssertionError("line " + (i + 1) + ": " + line + "\n" + e.getMessage(), e);
      }
    }
    assertThat(told()).as("told at the end and not expected").isEmpty();
  }

  private void step(String[] w) {
    switch (w[0]) {
      case "pack" -> pack(w);
      case "rule" -> rule(w);
      case "clock" -> clock(w[1]);
      case "every" -> everyMs = duration(w[1], w[2]);
      case "noise" -> noiseMv = Double.parseDouble(w[1]);
      case "feed" -> feed(w);
      case "silence" -> silence(w);
      case "step" -> entry(new ClockStep(nowMs, nowMs += duration(w[1], w[2])));
      case "restart" -> restart(w);
      case "seen" -> take(engine.acknowledge(theOne(w[1]).id(), w[3], nowMs));
      case "class" -> view.phase = Optional.of(Phase.valueOf(word(w[1])));
      case "balance" -> balance(w);
      case "bounce" -> bounce(w);
      case "finding" -> finding(w);
      case "soc" -> view.soc = Optional.of(interval(w));
      case "doubt" -> doubt(w);
      case "store" -> take(engine.storeWorks(w[1].equals("works"), "disk full", nowMs));
      case "board" -> take(engine.board(w[1].equals("ours"), "unit 17", "unit 4", nowMs));
      case "told" -> assertTold(w);
      case "quiet" -> assertThat(told()).isEmpty();
      case "stands" -> assertStands(w);
      case "text" -> assertText(w);
      default -> throw new IllegalArgumentException("no such word: " + w[0]);
    }
  }

  // pack lfp 4 cells 100 Ah [charge 14.2 V]
  private void pack(String[] w) {
    PackPlan.Builder b =
        PackPlan.builder(
            "crate",
            Chemistry.ofWord(w[1]).orElseThrow(),
            Integer.parseInt(w[2]),
            1,
            Math.round(Double.parseDouble(w[4]) * 1000));
    if (w.length > 6) {
      b.chargeMv((int) Math.round(Double.parseDouble(w[7]) * 1000));
    }
    plan = b.build();
    fresh(Rules.defaults(plan));
  }

  private void fresh(AlertSettings next) {
    settings = next;
    engine = new AlertEngine(plan, settings);
    view = new FixedView(plan);
  }

  // rule cell-high warn_mv 3650 / rule silent off
  private void rule(String[] w) {
    RuleId id = Rules.find(w[1]).orElseThrow();
    if (w[2].equals("off")) {
      fresh(settings.with(settings.rule(id).withEnabled(false)));
      return;
    }
    if (w[2].equals("priority")) {
      fresh(settings.with(settings.rule(id).withPriority(Priority.ofWord(w[3]).orElseThrow())));
      return;
    }
    fresh(settings.with(settings.rule(id).with(w[2], Double.parseDouble(w[3]))));
  }

  private void clock(String time) {
    long ms = DAY_ONE + LocalTime.parse(time).toSecondOfDay() * 1000L;
    while (ms < nowMs) {
      ms += 86_400_000;
    }
    nowMs = ms;
  }

  // feed 90 s cells 3.300 3.300..3.660 - 3.300 current 5 temps 20 -3
  private void feed(String[] w) {
    long length = duration(w[1], w[2]);
    List<Ramp> cells = ramps(w, "cells");
    List<Ramp> temps = ramps(w, "temps");
    List<Ramp> current = ramps(w, "current");
    begin();
    for (long at = 0; at < length; at += everyMs) {
      double share = (double) at / length;
      Reading.Builder b = Reading.at(nowMs);
      if (!cells.isEmpty()) {
        b.cells(
            CellVoltages.ofOptional(
                cells.stream().map(r -> noisy(r.at(share, 10_000))).toArray(OptionalInt[]::new)));
      }
      if (!temps.isEmpty()) {
        b.temperatures(
            Temperatures.ofOptional(
                temps.stream().map(r -> r.at(share, 10)).toArray(OptionalInt[]::new)));
      }
      if (!current.isEmpty()) {
        current.get(0).at(share, 1000).ifPresent(b::currentMa);
      }
      others(w, share, b);
      entry(b.build());
      nowMs += everyMs;
    }
  }

  /** What a board reports besides, by the names that columns of CSV have. */
  private static void others(String[] w, double share, Reading.Builder b) {
    for (int i = 3; i < w.length; i++) {
      String word = w[i];
      if (!List.of("cells", "temps", "current").contains(word) && !word.matches(VALUE)) {
        Channel.Kind kind = Channel.ofColumn(word).orElseThrow().kind();
        OptionalInt value = ramps(w, word).get(0).at(share, (int) Math.pow(10, kind.decimals()));
        value.ifPresent(number -> b.value(kind, number));
      }
    }
  }

  private OptionalInt noisy(OptionalInt tenthMv) {
    if (noiseMv == 0 || tenthMv.isEmpty()) {
      return tenthMv;
    }
    seed = seed * 6364136223846793005L + 1442695040888963407L;
    double unit = (seed >>> 33) / (double) (1L << 31) * 2 - 1;
    return OptionalInt.of((int) Math.round((tenthMv.getAsInt() / 10.0 + unit * noiseMv)) * 10);
  }

  private record Ramp(OptionalDouble from, OptionalDouble to) {
    OptionalInt at(double share, int scale) {
      return from.isEmpty()
          ? OptionalInt.empty()
          : OptionalInt.of(
              (int)
                  Math.round(
                      (from.getAsDouble() + (to.orElseThrow() - from.getAsDouble()) * share)
                          * scale));
    }
  }

  private static List<Ramp> ramps(String[] w, String word) {
    List<Ramp> found = new ArrayList<>();
    int i = List.of(w).indexOf(word) + 1;
    while (i > 0 && i < w.length && w[i].matches(VALUE)) {
      String[] ends = w[i].split("\\.\\.");
      found.add(
          w[i].equals("-")
              ? new Ramp(OptionalDouble.empty(), OptionalDouble.empty())
              : new Ramp(number(ends[0]), number(ends[ends.length - 1])));
      i++;
    }
    return found;
  }

  private static OptionalDouble number(String text) {
    return OptionalDouble.of(Double.parseDouble(text));
  }

  // silence 5 min port-missing: the daemon tells it as a growing gap every 10 s
  private void silence(String[] w) {
    long end = nowMs + duration(w[1], w[2]);
    Gap.Cause cause = Gap.Cause.valueOf(word(w.length > 3 ? w[3] : "no-bytes"));
    long from = nowMs - everyMs;
    begin();
    while (nowMs < end) {
      nowMs = Math.min(end, nowMs + 10_000);
      entry(new Gap(from, nowMs, cause));
    }
  }

  // restart [unclean|copied] [from-log] after 30 s
  private void restart(String[] w) {
    List<String> words = List.of(w);
    nowMs += duration(w[w.length - 2], w[w.length - 1]);
    SavedState saved = SavedState.of(engine::state);
    engine = new AlertEngine(plan, settings);
    if (!words.contains("from-log")) {
      saved.into(engine::state);
    }
    take(
        engine.adopt(
            List.copyOf(log.values()), nowMs - duration(w[w.length - 2], w[w.length - 1])));
    session++;
    SessionStart.Before before =
        words.contains("copied")
            ? SessionStart.Before.COPIED
            : words.contains("unclean") ? SessionStart.Before.CUT : SessionStart.Before.ENDED;
    entry(new SessionStart(nowMs, session, true, before));
    begun = true;
  }

  private void begin() {
    if (!begun) {
      begun = true;
      entry(new SessionStart(nowMs, session, true, true));
    }
  }

  private void entry(LogEntry entry) {
    view.take(entry);
    take(engine.onEntry(entry, view));
    view.completed = List.of();
  }

  private void take(List<AlertEvent> changes) {
    for (AlertEvent event : changes) {
      events.add(event);
      assertWhole(event);
      if (event.stands()) {
        log.put(event.alert().key(), event.alert());
      } else {
        log.remove(event.alert().key());
      }
    }
  }

  private void balance(String[] w) {
    BalanceView none = BalanceView.UNKNOWN;
    view.balance =
        new BalanceView(
            BalanceView.State.valueOf(word(w[1])),
            none.charge(),
            none.spreadMv(),
            List.of(new BalanceView.Lead(2, new Interval(0.6, 0.8, 1.1))),
            none.bleedA(),
            none.remainingAh(),
            none.etaHours(),
            none.sinceMs(),
            none.reasons(),
            none.lastTop(),
            none.levelled());
  }

  // bounce 3 trips of cell 2 every 12 min / bounce over
  private void bounce(String[] w) {
    view.bounce =
        w[1].equals("over")
            ? Optional.empty()
            : Optional.of(
                new Bounce(
                    Integer.parseInt(w[1]),
                    Integer.parseInt(w[1]),
                    Double.parseDouble(w[7]),
                    Integer.parseInt(w[5]),
                    nowMs - 1_800_000));
  }

  // finding full-charge / full-charge leads 0.4 0 0.5 0.2 / rest suspects 3 / resistance suspect 2
  // / capacity 22.5 /
  // capacity costs 6 22.5
  private void finding(String[] w) {
    FindingName name = Worded.find(FindingName.values(), w[1]).orElseThrow();
    Finding finding =
        ResultForm.finding(name, nowMs - 3_600_000, nowMs, ScenarioFindings.facts(name, w), "");
    if (name == FindingName.REST || name == FindingName.RESISTANCE) {
      view.standing = List.of(finding);
    } else {
      view.completed = List.of(finding);
    }
  }

  // finding rest suspects 3 / finding rest leak_ma 1.2 suspects 3
  private static Interval interval(String[] w) {
    return new Interval(
        Double.parseDouble(w[1]), Double.parseDouble(w[2]), Double.parseDouble(w[3]));
  }

  private void doubt(String[] w) {
    view.suspicions =
        w[1].equals("none")
            ? List.of()
            : List.of(
                new Suspicion(
                    Worded.find(Suspicion.Kind.values(), w[1]).orElseThrow(),
                    w.length > 2 ? List.of(Integer.parseInt(w[3])) : List.of(),
                    nowMs,
                    "a loose tap",
                    "the tap's screw",
                    Facts.NONE));
  }

  /** Whoever is woken is told what was seen and what to do first. */
  private static void assertWhole(AlertEvent event) {
    Change change = event.change();
    if (change == Change.RAISED || change == Change.ESCALATED || change == Change.REPEATED) {
      assertThat(event.alert().text()).isNotBlank();
      String name = name(event.alert().key());
      assertThat(event.alert().firstStep()).as("first step of " + name).isNotBlank();
      // What the program itself reports has no figures; its text is all there is.
      if (!PROGRAM.contains(event.alert().key().rule())) {
        assertThat(event.alert().evidence().list()).as("evidence of " + name).isNotEmpty();
      }
    }
  }

  // told runner/3 raised critical [at 22:00:05]
  // The text of an alert is looked at while it stands, or when its end was the last thing told.
  private void assertTold(String[] w) {
    AlertEvent next = events.poll();
    assertThat(next).as("nothing more was told").isNotNull();
    String what = "";
    if (next != null) {
      ended = next.stands() ? null : next.alert();
      what = name(next.alert().key()) + " " + next.change().word();
      if (w.length > 3 && !w[3].equals("at")) {
        what += " " + next.alert().priority().word();
      }
      if (w[w.length - 2].equals("at")) {
        what += " at " + CLOCK.format(Instant.ofEpochMilli(next.alert().timeMs()));
      }
    }
    String[] rest = Arrays.copyOfRange(w, 1, w.length);
    assertThat(what).isEqualTo(String.join(" ", rest));
  }

  private List<String> told() {
    return events.stream()
        .map(
            e ->
                name(e.alert().key())
                    + " "
                    + e.change().word()
                    + " "
                    + Instant.ofEpochMilli(e.alert().timeMs())
                    + " "
                    + e.alert().text())
        .toList();
  }

  // stands runner/3 acknowledged / stands nothing
  private void assertStands(String[] w) {
    List<String> standing =
        engine.standing().stream().map(a -> name(a.key()) + " " + a.state().word()).toList();
    if (w[1].equals("nothing")) {
      assertThat(standing).isEmpty();
    } else {
      assertThat(standing).contains(w[1] + " " + w[2]);
    }
  }

  // text runner/3 rising 24 mV a minute
  private void assertText(String[] w) {
    String[] rest = Arrays.copyOfRange(w, 2, w.length);
    Alert alert = ended != null && name(ended.key()).equals(w[1]) ? ended : theOne(w[1]);
    assertThat(alert.text() + " " + alert.firstStep()).contains(String.join(" ", rest));
  }

  private Alert theOne(String name) {
    return engine.standing().stream()
        .filter(a -> name(a.key()).equals(name))
        .findFirst()
        .orElseThrow(() -> new AssertionError(name + " does not stand"));
  }

  private static String name(AlertKey key) {
    return key.rule().word() + (key.cell() == 0 ? "" : "/" + key.cell());
  }

  private static String word(String text) {
    return text.toUpperCase(Locale.ROOT).replace('-', '_');
  }

  private static long duration(String number, String unit) {
    double n = Double.parseDouble(number);
    return Math.round(
        n
            * switch (unit) {
              case "s" -> 1000;
              case "min" -> 60_000;
              case "h" -> 3_600_000;
              case "days" -> 86_400_000;
              default -> throw new IllegalArgumentException("no unit " + unit);
            });
  }
}
