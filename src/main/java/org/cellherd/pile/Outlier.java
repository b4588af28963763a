package org.cellherd.pile;

import java.util.Arrays;
import org.cellherd.analysis.trend.Medians;

/**
 * How far a value lies from its peers, robustly: 0.6745 (x - median) / median absolute deviation.
 * Beyond 3.5 it stands out (Iglewicz and Hoaglin 1993, as in the NIST/SEMATECH e-Handbook of
 * Statistical Methods, section 1.3.5.17). Where the peers lie closer together than a measurement
 * can tell, the error of the measurement stands in for their deviation.
 *
 * @param median of the peers, the value itself among them
 * @param score signed distance
 */
record Outlier(double median, double score) {
  static final double STANDS_OUT = 3.5;

  /** Fewer peers say nothing. */
  static final int LEAST_PEERS = 5;

  private static final double NORMAL = 0.6745;

  static Outlier of(double value, double[] peers, double sd) {
    double median = Medians.median(peers);
    double[] away = Arrays.stream(peers).map(p -> Math.abs(p - median)).toArray();
    double scale = Math.max(Medians.median(away) / NORMAL, sd);
    return new Outlier(median, scale > 0 ? (value - median) / scale : 0);
  }
}
