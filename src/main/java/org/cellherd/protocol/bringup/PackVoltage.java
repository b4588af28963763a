package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import org.cellherd.protocol.bringup.ColumnGuess.Role;
import org.cellherd.protocol.bringup.Known.Quantity;

/** Looks for a number that follows the sum of the cells. */
final class PackVoltage {

  /** Beyond any distance of a column that follows the sum. */
  private static final double FAR = 1e9;

  private final Stretch kind;

  /** A hand-held meter and a board differ by so much (common practice, no source). */
  private static final double METER_PART = 0.01;

  private final double[] sums;
  private final Meter meter;

  /** A search among the messages of a kind; {@code sums} of the cells at each, mV. */
  PackVoltage(Stretch kind, double[] sums, Meter meter) {
    this.kind = kind;
    this.sums = sums;
    this.meter = meter;
  }

  /** The closest one to the cells' sum; where none follows it, the one that a meter tells. */
  Optional<ColumnGuess> find(Taken taken) {
    Optional<ColumnGuess> best = bySum(taken);
    return best.isPresent() ? best : byMeter(taken);
  }

  /** The only column that shows what a meter did, and stays near it; empty when several do. */
  Optional<ColumnGuess> byMeter(Taken taken) {
    List<ColumnGuess> found = new ArrayList<>();
    Optional<Known> known = meter.of(Quantity.PACK);
    for (Code code : known.isEmpty() ? List.<Code>of() : Code.VOLTAGES) {
      for (int at = kind.from(); at + code.span(1) <= kind.to(); at++) {
        for (double mv : code.isFloat() ? new double[] {1000} : new double[] {1, 10, 100}) {
          boolean isFree = taken.isFree(at, at + code.span(1));
          if (isFree && shows(known.get(), code, at, mv)) {
            found.add(guess(code, at, mv, "it alone shows the meter's value").settled());
          }
        }
      }
    }
    // A word and the longer number that ends with it are the same column.
    long ends = found.stream().map(ColumnGuess::end).distinct().count();
    long places = found.stream().map(ColumnGuess::at).distinct().count();
    return found.isEmpty() || Math.min(ends, places) > 1
        ? Optional.empty()
        : Optional.of(found.get(0));
  }

  private boolean shows(Known known, Code code, int at, double mv) {
    double[] column = kind.values(code, at, 0);
    double right = known.value() * 1000;
    boolean isRight = Math.abs(meter.at(known, kind, column) * mv - right) <= right * METER_PART;
    // A pack's voltage stays within a quarter of any of its values, full to empty.
    long near = DoubleStream.of(column).filter(v -> Math.abs(v * mv - right) < right / 4).count();
    return isRight && Stretch.nearlyAll(near, column.length);
  }

  /** The closest one to the cells' sum. */
  Optional<ColumnGuess> bySum(Taken taken) {
    double least = FAR;
    Optional<ColumnGuess> best = Optional.empty();
    for (Code code : Code.VOLTAGES) {
      for (int at = kind.from(); at + code.span(1) <= kind.to(); at++) {
        for (double mv : code.isFloat() ? new double[] {1000} : new double[] {1, 10, 100}) {
          double error = taken.isFree(at, at + code.span(1)) ? error(code, at, mv) : FAR;
          if (error < least) {
            least = error;
            best = Optional.of(guess(code, at, mv, "it follows the sum of the cells").settled());
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

  private ColumnGuess guess(Code code, int at, double mv, String why) {
    String unit = code.isFloat() ? "V" : (int) mv + " mV";
    String scale = code.isFloat() ? ", unit = \"V\"" : ", scale = " + (int) mv + ", unit = \"mV\"";
    String what = "the pack's voltage in " + unit + ": " + why;
    return ColumnGuess.of(at, code, 1, Role.PACK, what, scale);
  }
}
