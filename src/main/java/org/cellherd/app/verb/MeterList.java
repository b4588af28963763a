package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.IntToDoubleFunction;
import org.cellherd.analysis.BoardCount;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SensorErrors;
import org.cellherd.analysis.meter.Compared;
import org.cellherd.analysis.meter.MeterReading;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.SocResult;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.Metered;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;

/**
 * A meter's readings beside what the board said, and what follows.
 *
 * @param lines the readings, oldest first
 * @param pack the pack, with what the readings show of its board
 * @param effects what the readings change of the estimates
 * @param zone of the times
 */
record MeterList(List<Line> lines, PackConfig pack, List<Effect> effects, ZoneId zone) {

  /**
   * An estimate without and with the readings.
   *
   * @param what its name for people
   * @param key its name for programs
   * @param unit of both
   */
  private record Effect(
      String what, String key, String unit, int places, Interval before, Interval after) {
    String sentence() {
      return what + ": " + said(after) + "; by the board alone " + said(before) + ".";
    }

    private String said(Interval of) {
      return Spoken.low(of.low(), places) + " to " + Spoken.high(of.high(), places) + " " + unit;
    }

    Facts facts() {
      return Facts.of()
          .put("estimate", key)
          .putLow("low", after.low(), places + 1)
          .putHigh("high", after.high(), places + 1)
          .putLow("board_alone_low", before.low(), places + 1)
          .putHigh("board_alone_high", before.high(), places + 1)
          .build();
    }
  }

  record Line(long number, Note note, Compared compared) {}

  static MeterList of(LogFile file, PackConfig planned, ZoneId zone) throws StorageFailure {
    List<Line> lines = new ArrayList<>();
    for (Note.Kept kept :
        file.remarks().keptNotes(planned.plan().id(), Long.MIN_VALUE, Long.MAX_VALUE)) {
      Optional<Note> note = kept.today();
      Optional<MeterReading> reading = note.flatMap(n -> MeterReading.of(n.text(), n.atMs()));
      if (reading.isPresent()) {
        Compared compared = Compared.in(file.history(), planned.plan().id(), reading.get());
        lines.add(new Line(kept.id(), note.get(), compared));
      }
    }
    PackConfig metered = Metered.of(file, planned);
    return new MeterList(
        List.copyOf(lines),
        metered,
        lines.isEmpty() ? List.of() : effects(file, planned, metered),
        zone);
  }

  private static List<Effect> effects(LogFile file, PackConfig planned, PackConfig metered)
      throws StorageFailure {
    List<Finding> before = estimates(new LogAnalysis(file.history(), planned));
    List<Finding> after = estimates(new LogAnalysis(file.history(), metered));
    List<Effect> effects = new ArrayList<>();
    capacity(before)
        .flatMap(b -> capacity(after).map(a -> effect("Newest capacity test", "ah", "Ah", 2, b, a)))
        .ifPresent(effects::add);
    charge(before)
        .flatMap(
            b -> charge(after).map(a -> effect("State of charge now", "soc_pct", "%", 0, b, a)))
        .ifPresent(effects::add);
    return effects;
  }

  private static Effect effect(
      String what, String key, String unit, int places, Interval before, Interval after) {
    return new Effect(what, key, unit, places, before, after);
  }

  private static List<Finding> estimates(LogAnalysis analysis) throws StorageFailure {
    return analysis.findings(Set.of(FindingName.CAPACITY, FindingName.SOC));
  }

  private static Optional<Interval> capacity(List<Finding> of) {
    return of.stream()
        .flatMap(f -> f.result(CapacityResult.class).flatMap(CapacityResult::ah).stream())
        .reduce((earlier, later) -> later);
  }

  private static Optional<Interval> charge(List<Finding> of) {
    return of.stream()
        .flatMap(f -> f.result(SocResult.class).map(SocResult::socPct).stream())
        .reduce((earlier, later) -> later);
  }

  void print(AnswerOutput output) {
    if (output.isJson()) {
      output.json(facts());
      return;
    }
    if (lines.isEmpty()) {
      output.line("No reading of a meter. One at rest and one under load show the most.");
      return;
    }
    lines.forEach(line -> output.line(sentence(line)));
    conclusions().forEach(output::line);
  }

  private String sentence(Line line) {
    MeterReading meter = line.compared().meter();
    String unit = meter.quantity().unit();
    String board =
        line.compared()
            .board()
            .map(
                b ->
                    "the board %s %s"
                        .formatted(between(b.value() - b.error(), b.value() + b.error()), unit))
            .orElse("the log has no reading of the board then, so that it does not count");
    return "%s  %s  %s \u00b1 %s; %s"
        .formatted(
            line.number(),
            SpokenTime.second(line.note().atMs(), zone),
            meter.says(),
            Spoken.high(meter.error(), 3),
            board);
  }

  private static String between(double low, double high) {
    return Spoken.low(low, 3) + " to " + Spoken.high(high, 3);
  }

  private List<String> conclusions() {
    List<String> said = new ArrayList<>();
    SensorErrors sensors = pack.analysis().sensors();
    CurrentFit usual = CurrentFit.usual(pack.plan().ratedMah() / 1000.0);
    sensors
        .current()
        .map(c -> "Current sensor: " + errors(c) + " (without a meter: " + errors(usual) + ").")
        .ifPresent(said::add);
    sensors
        .cellMv()
        .forEach((n, mv) -> said.add(bias("Cell " + n, mv, 0, "mV", sensors.correctionMv(n), ".")));
    sensors.packGain().map(gain -> packBias(gain, sensors.packDivisor())).ifPresent(said::add);
    sensors
        .kelvin()
        .forEach(
            (n, k) ->
                said.add(bias("Temperature " + n, k, 1, "K", sensors.correctionKelvin(n), ".")));
    for (String what : sensors.contradictions()) {
      said.add(
          "No error that a board can have agrees with all readings of "
              + what
              + ", so that none counts. Look at time, sign and number; withdraw the wrong one.");
    }
    effects.stream().map(Effect::sentence).forEach(said::add);
    return said;
  }

  private static String errors(CurrentFit error) {
    return "offset "
        + between(error.offsetA().low(), error.offsetA().high())
        + " A, gain "
        + between(error.gain().low(), error.gain().high());
  }

  private static String packBias(Interval gain, double divisor) {
    Interval percent = gain.plus(Interval.exactly(-1)).times(100);
    String used = ": energy at the terminals, links and switches.";
    return bias("Pack voltage", percent, 1, "%", 100 / divisor - 100, used);
  }

  /** By how much the board reads too high, and how its value is corrected; {@code end} with it. */
  private static String bias(
      String what, Interval error, int places, String unit, double correction, String end) {
    return what
        + ": the board reads "
        + Spoken.low(error.low(), places)
        + " to "
        + Spoken.high(error.high(), places)
        + " "
        + unit
        + " too high; "
        + (correction == 0
            ? "it may be right, and is taken as it is."
            : "analyses take it %s %s higher%s"
                .formatted(Spoken.number(correction, places), unit, end));
  }

  private Facts facts() {
    SensorErrors sensors = pack.analysis().sensors();
    Facts.Builder facts = Facts.of().put("readings", lines.stream().map(MeterList::facts).toList());
    sensors
        .current()
        .ifPresent(
            c ->
                facts
                    .putLow("offset_a_low", c.offsetA().low(), 4)
                    .putHigh("offset_a_high", c.offsetA().high(), 4)
                    .putLow("gain_low", c.gain().low(), 5)
                    .putHigh("gain_high", c.gain().high(), 5));
    facts.put("cells", errors("cell", "mv", sensors.cellMv(), sensors::correctionMv));
    sensors
        .packGain()
        .ifPresent(
            gain ->
                facts
                    .putLow("voltage_gain_low", gain.low(), 5)
                    .putHigh("voltage_gain_high", gain.high(), 5)
                    .put("voltage_divisor", sensors.packDivisor(), 5));
    facts.put("temperatures", errors("number", "c", sensors.kelvin(), sensors::correctionKelvin));
    facts.put("effects", effects.stream().map(Effect::facts).toList());
    return facts.put("contradictions", sensors.contradictions()).build();
  }

  private static List<Facts> errors(
      String number, String unit, Map<Integer, Interval> errors, IntToDoubleFunction correction) {
    return errors.entrySet().stream()
        .map(
            e ->
                Facts.of()
                    .put(number, e.getKey())
                    .putLow("error_" + unit + "_low", e.getValue().low(), 1)
                    .putHigh("error_" + unit + "_high", e.getValue().high(), 1)
                    .put("correction_" + unit, correction.applyAsDouble(e.getKey()), 1)
                    .build())
        .toList();
  }

  private static Facts facts(Line line) {
    MeterReading meter = line.compared().meter();
    Facts.Builder facts =
        Facts.of()
            .put("reading", line.number())
            .putTime("time", line.note().atMs())
            .put("by", line.note().by())
            .put("quantity", meter.quantity().word())
            .put("unit", meter.quantity().unit());
    if (meter.quantity().isNumbered()) {
      facts.put("number", meter.number());
    }
    facts.put("meter", meter.value(), 4).put("meter_error", meter.error(), 4);
    Optional<BoardCount> board = line.compared().board();
    return board.isEmpty()
        ? facts.putUnknown("board").build()
        : facts
            .put("board", board.get().value(), 4)
            .put("board_error", board.get().error(), 4)
            .build();
  }
}
