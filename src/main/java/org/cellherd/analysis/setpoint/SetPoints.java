package org.cellherd.analysis.setpoint;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.Function;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.Worded;

/**
 * All numbers to enter for a pack.
 *
 * @param plan the plan with the proposed voltages in it
 * @param points the numbers, in the order of entering
 * @param margins how the plan stands with them, judged as a plan is
 * @param rests what resting voltages say of the charge
 */
public record SetPoints(
    PackPlan plan, List<Point> points, List<PlanCheck> margins, List<RestRow> rests) {

  public SetPoints {
    points = List.copyOf(points);
    margins = List.copyOf(margins);
    rests = List.copyOf(rests);
  }

  /**
   * Proposes.
   *
   * @param plan the plan as typed
   * @param health capacity left over rated capacity, above 0 to 1: used cells bear less current
   * @param watch our own alert levels for a plan
   */
  public static SetPoints of(PackPlan plan, double health, Function<PackPlan, Watch> watch) {
    CellLevels levels = new CellLevels(plan, p -> watch.apply(p).alarms());
    List<Point> points = new ArrayList<>(new VoltagePoints(levels).board());
    points.addAll(new CurrentPoints(levels.plan, health).board());
    points.addAll(TemperaturePoints.of(plan.chemistry(), watch.apply(levels.plan).hotWarnC()));
    points.addAll(new VoltagePoints(levels).balance());
    points.addAll(new VoltagePoints(levels).charger());
    points.addAll(new CurrentPoints(levels.plan, health).charger());
    points.add(new VoltagePoints(levels).storage());
    return new SetPoints(
        levels.plan,
        points,
        PlanAudit.of(levels.plan, levels.alarms, health).checks(),
        RestRow.of(plan));
  }

  /** The number of a key. */
  public Point point(String key) {
    return points.stream()
        .filter(p -> p.key().equals(key))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no set-point " + key));
  }

  /**
   * One number to enter.
   *
   * @param place where
   * @param key such as {@code cell_trip_high_mv}
   * @param name what it is, for people
   * @param value in {@code unit}; empty where nothing is to be set, as no float
   * @param unit {@code mV A degC pct}
   * @param shown the value for people
   * @param reason why
   * @param source where it comes from
   */
  public record Point(
      Place place,
      String key,
      String name,
      OptionalDouble value,
      String unit,
      String shown,
      String reason,
      String source) {

    /** Where a number is entered. */
    public enum Place implements Worded {
      CELL("Board, a cell"),
      PACK("Board, the pack"),
      CURRENT("Board, currents"),
      TEMPERATURE("Board, temperatures"),
      BALANCE("Board, balancing"),
      CHARGER("Charger"),
      STORAGE("Storage");

      private final String title;

      Place(String title) {
        this.title = title;
      }

      /** Title for people. */
      public String title() {
        return title;
      }
    }

    static Point cell(Place place, String key, String name, int mv, Why why) {
      return of(place, key, name, mv, "mV", mv < 1000 ? mv + " mV" : Spoken.volts(mv), why);
    }

    static Point pack(Place place, String key, String name, int mv, Why why) {
      return of(place, key, name, mv, "mV", Spoken.exactly(mv, 3) + " V", why);
    }

    static Point amps(Place place, String key, String name, double amps, Why why) {
      return of(place, key, name, amps, "A", CurrentLimit.shown(amps) + " A", why);
    }

    static Point celsius(String key, String name, int c, Why why) {
      return of(Place.TEMPERATURE, key, name, c, "degC", Spoken.exactly(c, 0) + " \u00b0C", why);
    }

    static Point none(Place place, String key, String name, String shown, Why why) {
      return new Point(
          place, key, name, OptionalDouble.empty(), "mV", shown, why.reason(), why.source());
    }

    private static Point of(
        Place place, String key, String name, double value, String unit, String shown, Why why) {
      return new Point(
          place, key, name, OptionalDouble.of(value), unit, shown, why.reason(), why.source());
    }

    public Facts facts() {
      return Facts.of()
          .put("key", key)
          .put("place", place.word())
          .put("name", name)
          .put("value", value, 3)
          .put("unit", unit)
          .put("text", shown)
          .put("reason", reason)
          .put("source", source)
          .build();
    }
  }

  /**
   * What a resting voltage says of the charge.
   *
   * @param fromMv voltage of a cell after hours at rest, 25 degC
   * @param toMv the same, or the upper end of a plateau on which voltage says nothing
   * @param pct state of charge
   */
  public record RestRow(int fromMv, int toMv, Interval pct) {

    /** A voltmeter's error and a rest that is not quite over, V; common practice, no source. */
    private static final double METER_V = 0.005;

    private static final double[] SHARES = {
      0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97
    };

    /** The table, lowest voltage first. */
    static List<RestRow> of(PackPlan plan) {
      CellCurve curve = CellCurve.of(plan.chemistry());
      List<RestRow> rows = new ArrayList<>();
      List<Integer> besidePlateau = plan.chemistry().sheet().openCircuit().besidePlateauMv();
      if (besidePlateau.isEmpty()) {
        for (double share : SHARES) {
          rows.add(at(curve, (int) Math.round(curve.volts(share) * 100) * 10));
        }
        return rows;
      }
      AnalysisSettings usual = AnalysisSettings.of(plan);
      for (int mv : besidePlateau) {
        if (mv > usual.blindToMv() && rows.get(rows.size() - 1).fromMv < usual.blindFromMv()) {
          rows.add(plateau(at(curve, usual.blindFromMv()), at(curve, usual.blindToMv())));
        }
        rows.add(at(curve, mv));
      }
      return rows;
    }

    private static RestRow at(CellCurve curve, int mv) {
      return new RestRow(mv, mv, curve.pct(mv / 1000.0, METER_V + curve.hysteresisV() / 2));
    }

    private static RestRow plateau(RestRow low, RestRow high) {
      double middle = (low.pct.low() + high.pct.high()) / 2;
      return new RestRow(
          low.fromMv, high.toMv, new Interval(low.pct.low(), middle, high.pct.high()));
    }

    /** True on the plateau: only counted ampere-hours tell the charge there. */
    public boolean isPlateau() {
      return fromMv < toMv;
    }

    /** Such as {@code 3.10 V} or {@code 3.20 to 3.37 V}. */
    public String volts() {
      String to = Spoken.packVolts(toMv);
      return isPlateau() ? Spoken.number(fromMv / 1000.0, 2) + " to " + to : to;
    }

    /** Such as {@code 2 to 28 %}. */
    public String charge() {
      return Spoken.low(pct.low(), 0) + " to " + Spoken.high(pct.high(), 0) + " %";
    }

    public Facts facts() {
      return Facts.of()
          .put("cell_from_mv", fromMv)
          .put("cell_to_mv", toMv)
          .putLow("low_pct", pct.low(), 0)
          .putHigh("high_pct", pct.high(), 0)
          .put("plateau", isPlateau())
          .build();
    }
  }

  /**
   * Our own alert levels, which a board's trips are held against.
   *
   * @param alarms the voltages of a cell
   * @param hotWarnC a cell above is told, degC
   */
  public record Watch(PlanAudit.Alarms alarms, double hotWarnC) {}
}
