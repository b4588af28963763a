package org.cellherd.report;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.report.plot.Tracks;

/** A season as it was, to judge the report by. */
final class DrawnSeason {
  private static final long DAY = 24 * Nights.HOUR;

  private final Random random;
  private final int days;
  private final int leaking;
  private final List<Finding> found = new ArrayList<>();
  private int partly;

  DrawnSeason(long seed, boolean isLeaking) {
    random = new Random(seed);
    days = 20 + random.nextInt(150);
    leaking = isLeaking ? 1 + random.nextInt(16) : 0;
    for (int day = 0; day < days; day++) {
      day(day);
    }
    found.add(new Finding(fromMs(), Nights.EVENING, ageing(), "Ageing."));
  }

  int days() {
    return days;
  }

  /** The cell that falls behind, from 1; 0 for none. */
  int leaking() {
    return leaking;
  }

  /** Days that were heard in part. */
  int partly() {
    return partly;
  }

  private long fromMs() {
    return Nights.EVENING - 18 * Nights.HOUR - days * DAY;
  }

  private void day(int day) {
    long start = fromMs() + day * DAY;
    boolean isPart = random.nextInt(6) == 0;
    partly += isPart ? 1 : 0;
    found.add(
        ResultForm.finding(
            FindingName.ENERGY,
            start,
            start + DAY,
            Facts.of()
                .put("charged_wh", 500 + random.nextInt(900))
                .put("discharged_wh", 500 + random.nextInt(900))
                .put("soc_min_pct", 20 + random.nextInt(30))
                .put("soc_max_pct", 60 + random.nextInt(40))
                .put("coverage_pct", isPart ? 10 + random.nextInt(80) : 100)
                .build(),
            "Charged."));
    if (day % 3 == 0) {
      long top = start + 12 * Nights.HOUR;
      found.add(new Finding(top - DAY / 8, top, full(day, top), "Full."));
      found.add(new Finding(fromMs(), top + 1, resistance(), "Resistance."));
    }
  }

  private ResistanceResult resistance() {
    List<ResistanceResult.Cell> cells =
        IntStream.rangeClosed(1, 16)
            .mapToObj(
                cell -> {
                  double mid = 0.8 + 0.01 * cell + 0.01 * random.nextDouble();
                  Interval mohm = new Interval(mid - 0.05, mid, mid + 0.05);
                  return new ResistanceResult.Cell(
                      cell, mohm, 30, 20, 0.01, 18, Optional.empty(), Double.NaN);
                })
            .toList();
    return new ResistanceResult(
        cells,
        0.88,
        Double.NaN,
        14,
        Optional.empty(),
        30,
        20,
        18,
        ResistanceResult.Sign.CONFIRMED,
        List.of());
  }

  private List<TestedDischarge> tests() {
    return IntStream.range(0, 6)
        .mapToObj(
            i -> {
              double ah = 90 - i;
              DischargeCurve.Builder curve = new DischargeCurve.Builder(100, 16);
              for (int step = 0; step <= 10; step++) {
                double drawn = ah * step / 10;
                curve.add(
                    new DischargeCurve.Point(
                        drawn, drawn * 50, 52 - 0.1 * step, 3.2 - 0.01 * step, 20));
              }
              return new TestedDischarge(
                  "crate",
                  fromMs() + (i + 1L) * days * DAY / 8,
                  curve.build(16, 5),
                  new Interval(ah - 1, ah, ah + 1),
                  ah * 50,
                  i % 2 == 0 ? 20 : 50,
                  20,
                  100);
            })
        .toList();
  }

  /** From the last cell, as leads are; one that falls behind makes all others lead. */
  private FullChargeResult full(int day, long top) {
    double behind = leaking == 0 ? 0 : 0.5 + 1.5 * day / days;
    List<FullChargeResult.CellLead> leads =
        IntStream.rangeClosed(1, 16)
            .mapToObj(
                cell -> {
                  double mid = cell == leaking ? 0.3 : 0.3 + behind + 0.02 * random.nextDouble();
                  Interval ah = new Interval(mid - 0.1, mid, mid + 0.1);
                  return new FullChargeResult.CellLead(cell, ah);
                })
            .toList();
    return new FullChargeResult(
        top,
        ChargeTermination.TAIL,
        BalanceView.State.BALANCED,
        10,
        3,
        8,
        1,
        3_500,
        0,
        leads,
        List.of(),
        Optional.empty(),
        OptionalLong.empty());
  }

  private AgeingResult ageing() {
    Interval ma = new Interval(4, 5, 6);
    return new AgeingResult(
        30,
        30,
        days,
        List.of(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalLong.empty(),
        List.of(),
        "model only",
        Optional.empty(),
        Optional.empty(),
        new AgeingResult.Use(20, 60, 20, 0.1, 100),
        List.of(),
        List.of(),
        leaking == 0
            ? List.of()
            : List.of(
                new AgeingResult.Leaking(leaking, ma, new Interval(34, 40, 45), Optional.empty())));
  }

  /** The same days without a full charge, while a cell goes so many mV away from the others. */
  ReportInput withoutFullCharge(int cell, int endMv) {
    long toMs = fromMs() + days * DAY;
    Tracks tracks = new Tracks(fromMs(), toMs);
    for (long at = fromMs(); at < toMs; at += Nights.HOUR) {
      int[] mv = new int[16];
      Arrays.fill(mv, 3_330);
      mv[cell - 1] += (int) (endMv * (at - fromMs()) / (toMs - fromMs() - DAY));
      tracks.add(Reading.at(at).cells(CellVoltages.ofMv(mv)).build());
    }
    List<Finding> energy = found.stream().filter(f -> f.name() == FindingName.ENERGY).toList();
    return Nights.input(
        Nights.PLAN,
        tracks,
        new ReportInput.Evidence(energy, List.of(), List.of(), List.of(), true, List.of()),
        Nights.MADE);
  }

  ReportInput input() {
    Tracks tracks = new Tracks(fromMs(), fromMs() + days * DAY);
    for (long at = fromMs(); at < fromMs() + days * DAY; at += Nights.HOUR) {
      tracks.add(Reading.at(at).cells(CellVoltages.ofMv(new int[16])).build());
    }
    return Nights.input(
        Nights.PLAN,
        tracks,
        new ReportInput.Evidence(
            found,
            List.of(),
            List.of(new Remark(fromMs() + DAY, "Anna", "Charger set to 56.8 V <script>")),
            List.of(),
            true,
            tests()),
        Nights.MADE);
  }
}
