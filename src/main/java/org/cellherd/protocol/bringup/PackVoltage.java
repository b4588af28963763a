package org.cellherd.protocol.bringup;

import java.util.Optional;
import org.cellherd.protocol.bringup.ColumnGuess.Role;

/** Looks for a number that follows the sum of the cells. */
final class PackVoltage {

  /** Beyond any distance of a column that follows the sum. */
  private static final double FAR = 1e9;

  private final Stretch kind;
  private final double[] sums;

  /** A search among the messages of a kind; {@code sums} of the cells at each, mV. */
  PackVoltage(Stretch kind, double[] sums) {
    this.kind = kind;
    this.sums = sums;
  }

  /** The closest one; those that hold fewer digits than another lose. */
  Optional<ColumnGuess> find(Taken taken) {
    double least = FAR;
    Optional<ColumnGuess> best = Optional.empty();
    for (Code code : Code.VOLTAGES) {
      for (int at = kind.from(); at + code.span(1) <= kind.to(); at++) {
        for (double mv : code.isFloat() ? new double[] {1000} : new double[] {1, 10, 100}) {
          double error = taken.isFree(at, at + code.span(1)) ? error(code, at, mv) : FAR;
          if (error < least) {
            least = error;
            best = Optional.of(guess(code, at, mv));
          }
        }
      }
    }
    return best;
  }

  /** Mean distance from the sum, mV; far beyond any when nearly all messages do not follow it. */
  private double error(Code code, int at, double mv) {
    double error = 0;
    int far = 0;
    int seen = 0;
    for (int i = 0; i < sums.length; i++) {
      if (Double.isNaN(sums[i])) {
        continue;
      }
      seen++;
      double off = Math.abs(code.read(kind.samples().get(i), at, 0) * mv - sums[i]);
      far += off * 100 <= sums[i] ? 0 : 1;
      error += Math.min(off, sums[i]);
      if (far > 2 + sums.length / 20) {
        return FAR;
      }
    }
    return Stretch.nearlyAll(seen - far, seen) ? error / seen : FAR;
  }

  private ColumnGuess guess(Code code, int at, double mv) {
    String unit = code.isFloat() ? "V" : (int) mv + " mV";
    String scale = code.isFloat() ? ", unit = \"V\"" : ", scale = " + (int) mv + ", unit = \"mV\"";
    String what = "the pack's voltage in " + unit + ": it follows the sum of the cells";
    return ColumnGuess.of(at, code, 1, Role.PACK, what, scale);
  }
}
