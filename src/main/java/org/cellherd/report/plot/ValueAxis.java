package org.cellherd.report.plot;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Spoken;

/**
 * Values from bottom to top. A squeezed axis is even near zero and narrows outwards (inverse
 * hyperbolic sine), so that mV of the plateau and hundreds of mV of the knee fit one picture.
 */
final class ValueAxis {

  private static final double LEAST_PIXELS = 22;

  /** Numbers side by side need more room than numbers above each other. */
  private static final double LEAST_PIXELS_ACROSS = 58;

  private final double low;
  private final double high;
  private final double squeezeAt;
  private final double top;
  private final double height;

  private ValueAxis(double low, double high, double squeezeAt, double top, double height) {
    this.low = low;
    this.high = high;
    this.squeezeAt = squeezeAt;
    this.top = top;
    this.height = height;
  }

  static ValueAxis even(double low, double high, double top, double height) {
    double room = Math.max((high - low) * 0.05, 1e-6);
    return new ValueAxis(low - room, high + room, 0, top, height);
  }

  /** Even, from left to right; its places are then x, not y. */
  static ValueAxis across(double low, double high, double left, double width) {
    return new ValueAxis(low, high, 0, left + width, -width);
  }

  /** Even up to about {@code squeezeAt} on both sides of zero. */
  static ValueAxis squeezed(double low, double high, double squeezeAt, double top, double height) {
    return new ValueAxis(low * 1.05, high * 1.05, squeezeAt, top, height);
  }

  record Tick(double y, String text) {}

  double y(double value) {
    double share = (warp(value) - warp(low)) / (warp(high) - warp(low));
    return top + height * (1 - Math.min(1, Math.max(0, share)));
  }

  boolean shows(double value) {
    return value >= low && value <= high;
  }

  List<Tick> ticks() {
    return squeezeAt > 0 ? squeezedTicks() : evenTicks();
  }

  private double warp(double value) {
    if (squeezeAt <= 0) {
      return value;
    }
    double z = value / squeezeAt;
    return Math.signum(z) * Math.log(Math.abs(z) + Math.sqrt(z * z + 1));
  }

  private List<Tick> evenTicks() {
    double apart = height < 0 ? LEAST_PIXELS_ACROSS : LEAST_PIXELS;
    double least = (high - low) * apart / Math.abs(height);
    double power = Math.pow(10, Math.floor(Math.log10(least)));
    double step = power;
    for (double factor : new double[] {1, 2, 5, 10}) {
      step = power * factor;
      if (step >= least) {
        break;
      }
    }
    List<Tick> ticks = new ArrayList<>();
    for (double n = Math.ceil(low / step); n * step <= high; n++) {
      ticks.add(new Tick(y(n * step), text(n * step, step)));
    }
    return ticks;
  }

  private List<Tick> squeezedTicks() {
    List<Tick> ticks = new ArrayList<>();
    ticks.add(new Tick(y(0), "0"));
    for (int side : new int[] {1, -1}) {
      double before = y(0);
      for (double size : new double[] {5, 10, 20, 50, 100, 200, 500, 1000}) {
        double value = side * size;
        if (shows(value) && Math.abs(y(value) - before) >= LEAST_PIXELS * 0.7) {
          before = y(value);
          ticks.add(new Tick(before, (side > 0 ? "+" : "\u2212") + (int) size));
        }
      }
    }
    return ticks;
  }

  private static String text(double value, double step) {
    int decimals = (int) Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    String plain =
        BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_UP).toPlainString();
    return Spoken.withMinus(plain);
  }
}
