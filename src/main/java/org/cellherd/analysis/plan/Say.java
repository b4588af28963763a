package org.cellherd.analysis.plan;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;
import org.cellherd.pack.Spoken;

/** Numbers in the sentences of checks. */
final class Say {

  private Say() {}

  static String amps(double a) {
    return number(a) + " A";
  }

  static String group(int parallel, double cellA) {
    return parallel == 1
        ? "the cells"
        : Spoken.counted(parallel, "cell") + " of " + amps(cellA) + " in parallel";
  }

  static String health(double health) {
    return health < 1 ? " at " + number(health * 100) + " % health" : "";
  }

  /** Two digits, for a guess. */
  static String roughly(double value) {
    return new BigDecimal(value).round(new MathContext(2)).toPlainString();
  }

  /** At most two decimals, none that say nothing. */
  static String number(double value) {
    String text = String.format(Locale.ROOT, "%.2f", value);
    return text.replaceAll("\\.?0+$", "");
  }
}
