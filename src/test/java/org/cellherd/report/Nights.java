package org.cellherd.report;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Runner;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.report.plot.BalancedBand;
import org.cellherd.report.plot.Tracks;

/** Made-up stretches of log that look like real ones, for reports. */
final class Nights {

  static final long EVENING = 1_772_557_200_000L;
  static final long HOUR = 3_600_000L;
  static final Made MADE =
      new Made(ZoneId.of("Europe/Berlin"), EVENING + 13 * HOUR, "cellherd 0.1.0");
  static final PackPlan PLAN =
      PackPlan.builder("crate", Chemistry.LFP, 16, 1, 100_000)
          .name("Radio crate <2> & \"co\"")
          .chargerMa(20_000)
          .note("Cells from a bus, sorted by capacity in 2025.")
          .build();

  private Nights() {}

  /** With the plan's limits and the usual band. */
  static ReportInput input(PackPlan plan, Tracks tracks, ReportInput.Evidence evidence, Made made) {
    return new ReportInput(plan, tracks, evidence, made, Rules.defaults(plan), BalancedBand.USUAL);
  }

  /** A first night: cell 5 ahead, 20 minutes unheard. */
  static ReportInput first() {
    Tracks tracks = new Tracks(EVENING, EVENING + 12 * HOUR);
    Random random = new Random(7);
    for (long t = 0; t < 12 * HOUR; t += 10_000) {
      if (t < 5 * HOUR || t > 5 * HOUR + HOUR / 3) {
        tracks.add(reading(t, random));
      }
    }
    Gap gap = new Gap(EVENING + 5 * HOUR, EVENING + 5 * HOUR + HOUR / 3, Gap.Cause.NO_BYTES);
    List<Remark> remarks = List.of(remark(EVENING + HOUR));
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(
            List.of(balance(), energy()),
            AlertSpan.of(events()),
            remarks,
            List.of(gap),
            true,
            List.of());
    return input(PLAN, tracks, evidence, MADE);
  }

  /** Half a year by hours, with three silent weeks. */
  static ReportInput season() {
    long days = 182;
    long from = EVENING - days * 24 * HOUR;
    Tracks tracks = new Tracks(from, EVENING);
    Random random = new Random(11);
    for (long h = 0; h < days * 24; h++) {
      if (h < 80 * 24 || h > 101 * 24) {
        hour(tracks, from + h * HOUR, h, random);
      }
    }
    Gap gap = new Gap(from + 80 * 24 * HOUR, from + 101 * 24 * HOUR, Gap.Cause.NOT_RUNNING);
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(
            days(from, days),
            List.of(),
            List.of(remark(from + HOUR)),
            List.of(gap),
            true,
            List.of());
    return input(PLAN, tracks, evidence, MADE);
  }

  /** Ten capacity tests at two rates, each weaker than the one before. */
  static ReportInput tests() {
    List<TestedDischarge> tests = new ArrayList<>();
    for (int i = 0; i < 10; i++) {
      double amps = i % 2 == 0 ? 20 : 50;
      double ah = 90 - i - amps / 20;
      DischargeCurve.Builder curve = new DischargeCurve.Builder(100, 16);
      for (int percent = 0; percent <= 100; percent++) {
        double drawn = ah * percent / 100;
        double cell = 3.35 - amps * 0.001 - 0.8 * Math.pow(percent / 100.0, 20);
        curve.add(new DischargeCurve.Point(drawn, drawn * 16 * 3.25, 16 * cell, cell - 0.01, amps));
      }
      tests.add(
          new TestedDischarge(
              "crate",
              EVENING - (10 - i) * 720L * HOUR,
              curve.build(16, 5),
              new Interval(ah * 0.99, ah, ah * 1.02),
              ah * 16 * 3.25,
              amps,
              i == 3 ? Double.NaN : 22,
              100));
    }
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(List.of(), List.of(), List.of(), List.of(), true, tests);
    return input(PLAN, new Tracks(EVENING, EVENING + HOUR), evidence, MADE);
  }

  private static Remark remark(long atMs) {
    return new Remark(atMs, "Anna", "Charger set to 56.8 V <script>");
  }

  private static List<Finding> days(long from, long days) {
    List<Finding> found = new ArrayList<>(List.of(balance()));
    for (long day = 0; day < days; day++) {
      long start = from + day * 24 * HOUR;
      found.add(
          ResultForm.finding(
              FindingName.ENERGY,
              start,
              start + 24 * HOUR,
              Facts.of()
                  .put("day", MADE.day(start))
                  .put("charged_wh", 900 + day)
                  .put("discharged_wh", 870)
                  .put("coverage_pct", 100)
                  .put("net_7d_wh", 210)
                  .build(),
              "0.9 kWh in, 0.87 kWh out."));
    }
    return found;
  }

  private static void hour(Tracks tracks, long at, long h, Random random) {
    double sun = Math.max(0, Math.sin((h % 24 - 6) / 12.0 * Math.PI));
    Tracks.Span span = new Tracks.Span(at, at + HOUR);
    for (int cell = 1; cell <= 16; cell++) {
      double drift = cell == 11 ? -h / 120.0 : (cell - 8) * 4;
      double mean = 32_800 + sun * 900 + drift + random.nextGaussian() * 5;
      tracks.add(Channel.cell(cell), span, mean - 100, mean, mean + 250 * sun, 3_600);
    }
    double amps = 18_000 * sun - 3_000;
    tracks.add(Channel.of(Channel.Kind.CURRENT), span, amps - 4_000, amps, amps + 4_000, 3_600);
    double warmth = 120 + 90 * Math.sin(h / (24 * 182.0) * Math.PI * 2) + 40 * sun;
    tracks.add(Channel.temperature(1), span, warmth - 10, warmth, warmth + 10, 3_600);
  }

  private static Reading reading(long t, Random random) {
    double h = t / (double) HOUR;
    double base = h < 7 ? 3_340 + 8 * h : 3_396 + 90 * (1 - Math.exp(-(h - 7) / 1.4));
    int[] tenths = new int[16];
    for (int cell = 1; cell <= 16; cell++) {
      double own = (cell - 8.5) * 0.4;
      double knee = cell == 5 ? 150 : cell == 12 ? -40 : (cell % 5 - 2) * 6;
      double rise = h < 6.5 ? 0 : Math.exp(-Math.pow((h - 8.3) / 1.6, 2)) * knee;
      tenths[cell - 1] = (int) Math.round((base + own + rise + random.nextGaussian()) * 10);
    }
    int current = h < 8.5 ? 10_000 : (int) (10_000 * Math.exp(-(h - 8.5) / 0.8));
    return Reading.at(EVENING + t)
        .cells(CellVoltages.ofTenthMv(tenths))
        .temperatures(Temperatures.ofTenthC((int) (60 + 12 * h), (int) (40 + 4 * h)))
        .currentMa(current)
        .packMv(53_600)
        .socTenthPct((int) Math.min(1_000, 300 + 80 * h))
        .build();
  }

  static Finding balance() {
    List<Facts> leads = new ArrayList<>();
    for (int cell = 1; cell <= 16; cell++) {
      double lead = cell == 5 ? 0.8 : 0.1 + cell * 0.01;
      leads.add(
          Facts.of()
              .put("cell", cell)
              .put("low_ah", lead * 0.8, 2)
              .put("mid_ah", lead, 2)
              .put("high_ah", lead * 1.3, 2)
              .build());
    }
    Facts eta = Facts.of().put("low", 7).put("mid", 9).put("high", 13).build();
    return ResultForm.finding(
        FindingName.BALANCE,
        EVENING,
        EVENING + 12 * HOUR,
        Facts.of()
            .put("state", "converging")
            .put("spread_mv", 41.2, 1)
            .put("eta_h", eta)
            .putUnknown("bleed_a")
            .put("lead", leads)
            .build(),
        "Cell 5 is 0.8 Ah ahead; about 9 h to balance, 7 to 13.");
  }

  private static Finding energy() {
    return ResultForm.finding(
        FindingName.ENERGY,
        EVENING,
        EVENING + 12 * HOUR,
        Facts.of().put("charged_wh", 4_310).put("soc_max_pct", 99.5, 1).build(),
        "4.3 kWh went in, none came out.");
  }

  static List<AlertEvent> events() {
    Alert runner = alert("a-1", Runner.ID, 5, Priority.CRITICAL, 8 * HOUR);
    Alert cold = alert("a-2", Rules.id("cold-morning"), 0, Priority.NOTE, 2 * HOUR);
    Alert spread = alert("a-3", Rules.id("imbalance"), 5, Priority.WARNING, 9 * HOUR);
    Alert seen = alert("a-1", Runner.ID, 5, Priority.CRITICAL, 9 * HOUR);
    return List.of(
        new AlertEvent("e-2", AlertEvent.Change.NOTICE, cold),
        new AlertEvent("e-1", AlertEvent.Change.RAISED, runner),
        new AlertEvent("e-4", AlertEvent.Change.CLEARED, seen),
        new AlertEvent("e-3", AlertEvent.Change.RAISED, spread));
  }

  private static Alert alert(String id, RuleId rule, int cell, Priority priority, long at) {
    return new Alert(
        id,
        new AlertKey("crate", rule, cell),
        AlertState.ACTIVE,
        priority,
        EVENING + at,
        EVENING + at,
        3_612,
        3_450,
        "mV",
        cell == 0
            ? "Cells near 0 \u00b0C will meet the morning's charge."
            : "Cell " + cell + " runs ahead: 3.612 V, 151 mV above the median, 6 min to 3.65 V.",
        "Lower the charge current or voltage.",
        Facts.of().put("rise_mv_per_min", 7.5, 1).put("above_median_mv", 151).build(),
        Optional.of("Anna"),
        true);
  }
}
