package org.cellherd.analysis.estimate;

import java.util.Arrays;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/** Noise and resolution of the board's cell voltages, as the readings show them. */
final class CellNoise {
  private static final double FIRST_V = 0.0006;
  private static final double MOST_V = 0.01;
  private static final double FADE = 1 / 200.0;

  /** Of a normal distribution's median of sizes, and of a second difference. */
  private static final double TO_SPREAD = 1.4826 / Math.sqrt(6);

  /** A power of two above what noise alone bends a voltage by, 0.1 mV. */
  private static final int USUAL = 128;

  private static final double FINEST_V = 0.0003;

  private final int[] before;
  private final int[] before2;
  private final int[] bends;
  private final int[] counts = new int[USUAL];
  private double noise = FIRST_V;
  private long step;

  CellNoise(int cells) {
    before = new int[cells];
    before2 = new int[cells];
    bends = new int[cells];
    Arrays.fill(before, Moment.MISSING);
    Arrays.fill(before2, Moment.MISSING);
  }

  /** Takes the latest reading: the median cell's second difference is noise. */
  void accept(Moment m) {
    int n = 0;
    for (int i = 0; i < before.length; i++) {
      int raw = m.cell(i + 1);
      if (raw != Moment.MISSING) {
        if (step != 1 && (step == 0 || raw % step != 0)) {
          step = divisor(step, raw);
        }
        if (before[i] != Moment.MISSING && before2[i] != Moment.MISSING) {
          bends[n++] = Math.abs(raw - 2 * before[i] + before2[i]);
        }
      }
      before2[i] = before[i];
      before[i] = raw;
    }
    if (n > 0) {
      noise += (Math.min(MOST_V, TO_SPREAD * middle(n) / 10_000) - noise) * FADE;
    }
  }

  /** The middle one of the first bends: counted, not sorted, where all are as small as usual. */
  private int middle(int n) {
    int bits = 0;
    for (int i = 0; i < n; i++) {
      bits |= bends[i];
    }
    if (bits < 0 || bits >= counts.length) {
      Arrays.sort(bends, 0, n);
      return bends[n / 2];
    }
    Arrays.fill(counts, 0);
    for (int i = 0; i < n; i++) {
      counts[bends[i]]++;
    }
    int at = 0;
    for (int upTo = counts[0]; upTo <= n / 2; upTo += counts[at]) {
      at++;
    }
    return at;
  }

  private static long divisor(long a, long b) {
    return b == 0 ? Math.abs(a) : divisor(b, a % b);
  }

  /** Of one voltage, V. */
  double volts() {
    return noise;
  }

  /** The greatest step that all voltages are whole multiples of, V. */
  double resolution() {
    return Math.min(MOST_V, Math.max(FINEST_V, step / 10_000.0));
  }

  void state(State io) {
    io.each(before);
    io.each(before2);
    noise = io.number(noise);
    step = io.number(step);
  }
}
