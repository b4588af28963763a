package org.cellherd.analysis.cell;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.CellSheet;
import org.cellherd.pack.Chemistry;
import org.jspecify.annotations.Nullable;

/**
 * What a resting voltage says of the charge at 25 degC, and the reverse, by the open-circuit curve
 * of a {@link CellSheet}: good for bounds only; a maker's curve of the very cell would be better.
 */
public final class CellCurve {
  private static final int BISECTIONS = 60;
  private static final double SCAN_PCT = 0.5;

  private static final Map<Chemistry, CellCurve> CURVES = new EnumMap<>(Chemistry.class);

  static {
    for (Chemistry each : Chemistry.values()) {
      CURVES.put(each, new CellCurve(each));
    }
  }

  private final CellSheet.Plateau plateau;
  private final CellSheet.OpenCircuit sheet;
  private final CellSheet.Knee knee;

  /** The curve at each step of a scan, mV, rising: a step of the current asks it for each cell. */
  private volatile double @Nullable [] scannedMv;

  private CellCurve(Chemistry chemistry) {
    plateau = chemistry.plateau();
    sheet = chemistry.sheet().openCircuit();
    knee = chemistry.sheet().knee();
  }

  public static CellCurve of(Chemistry chemistry) {
    return Objects.requireNonNull(CURVES.get(chemistry));
  }

  /** Volts at a state of charge from 0 to 1. */
  public double volts(double soc) {
    return sheet.volts().applyAsDouble(soc);
  }

  /** State of charge from 0 to 1 of a resting voltage, clipped to these ends. */
  public double soc(double v) {
    double low = 0;
    double high = 1;
    for (int i = 0; i < BISECTIONS; i++) {
      double middle = (low + high) / 2;
      if (volts(middle) < v) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }

  /** Full distance between the charge and the discharge branch at rest, V (from memory). */
  public double hysteresisV() {
    return sheet.hysteresisV();
  }

  /**
   * Bounds on the slope at a resting voltage, mV for each percent of charge: a cell differs from
   * the next. Empty on a plateau, which may be flat.
   */
  public Optional<Interval> slope(double mv) {
    if (plateau.isBlind(mv)) {
      return Optional.empty();
    }
    double[][] slopes = sheet.slopes();
    double[] row = slopes[0];
    for (int i = 1; i < slopes.length && mv >= row[0]; i++) {
      row = slopes[i];
    }
    boolean isTop = row == slopes[slopes.length - 1];
    double most = isTop ? Math.max(row[2], steepestKnee(mv / 1000)) : row[2];
    return Optional.of(new Interval(row[1], Math.sqrt(row[1] * most), most));
  }

  /** What is known beforehand of the knee of any cell of the chemistry leaves so much, 95 %. */
  private double steepestKnee(double v) {
    return Math.exp(2 * knee.logErrorAt(v) - knee.logPctPerMv(v));
  }

  /**
   * The greatest slope of the curve near a resting voltage, mV for each percent of charge: on a
   * plateau, where {@link #slope} tells nothing. Near is within the hysteresis.
   */
  public double steepest(double mv) {
    double[] scanned = scannedMv();
    double nearMv = 1000 * hysteresisV();
    int found = Arrays.binarySearch(scanned, mv - nearMv);
    int i = found < 0 ? -found - 1 : found;
    while (i > 0 && scanned[i - 1] >= mv - nearMv) {
      i--;
    }
    double most = 0;
    for (i = Math.max(1, i); i < scanned.length && scanned[i - 1] <= mv + nearMv; i++) {
      most = Math.max(most, (scanned[i] - scanned[i - 1]) / SCAN_PCT);
    }
    return most;
  }

  private double[] scannedMv() {
    double[] scanned = scannedMv;
    if (scanned == null) {
      scanned = new double[(int) (100 / SCAN_PCT) + 1];
      for (int i = 0; i < scanned.length; i++) {
        scanned[i] = 1000 * volts(i * SCAN_PCT / 100);
      }
      scannedMv = scanned;
    }
    return scanned;
  }

  /** Bounds on the charge left at a resting voltage, percent; empty where it says too little. */
  public Optional<Interval> leftPct(double restMv) {
    double[][] rows = sheet.nearEmpty();
    for (int i = 1; i < rows.length; i++) {
      if (restMv <= rows[i][0]) {
        double share = Math.max(0, (restMv - rows[i - 1][0]) / (rows[i][0] - rows[i - 1][0]));
        double low = rows[i - 1][1] + share * (rows[i][1] - rows[i - 1][1]);
        double high = rows[i - 1][2] + share * (rows[i][2] - rows[i - 1][2]);
        return Optional.of(new Interval(low, (low + high) / 2, high));
      }
    }
    return Optional.empty();
  }

  /**
   * The foot of the upper knee, mV: within it the slope over charge grows in proportion to the
   * distance from here. NaN where the curve is taken as straight.
   */
  public double footMv() {
    return sheet.footMv();
  }

  /**
   * State of charge in percent of a resting voltage that may be off by some volts either way.
   * Widened by how far published curves of one chemistry lie apart: of LFP by up to six parts in
   * seven of the charge that is left below 3.2 V, and by 4 % above 3.37 V.
   */
  public Interval pct(double v, double errorV) {
    double mid = soc(v);
    double low = soc(v - errorV);
    double high = soc(v + errorV);
    double modelError = sheet.modelError();
    if (!Double.isNaN(modelError)) {
      return interval(low - modelError, mid, high + modelError);
    }
    return mid < 0.5
        ? interval(0.15 * low, mid, 1.1 * high)
        : interval(low - 0.04, mid, high + 0.02);
  }

  private static Interval interval(double low, double mid, double high) {
    double bottom = Math.max(0, low) * 100;
    double top = Math.min(1, high) * 100;
    return new Interval(bottom, Math.max(bottom, Math.min(top, mid * 100)), top);
  }
}
