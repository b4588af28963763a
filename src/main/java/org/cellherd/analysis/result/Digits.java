package org.cellherd.analysis.result;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import java.math.RoundingMode;

/** How a number of a result is written: by so many decimals. Bounds are rounded outward. */
@Retention(RetentionPolicy.RUNTIME)
@Target(ElementType.RECORD_COMPONENT)
@interface Digits {
  int value();

  /** Direction of a number that is no interval: a bound goes outward. */
  RoundingMode to() default RoundingMode.HALF_UP;

  /** What the keys of an interval are called. */
  Style style() default Style.PLAIN;

  /** What the keys of an interval are called; {@code %s} is the name of the part. */
  enum Style {
    /** {@code ah}, {@code ah_low}, {@code ah_high}. */
    PLAIN("%s_low", "%s", "%s_high"),
    /** {@code soc_pct_low}, {@code soc_pct_mid}, {@code soc_pct_high}. */
    WITH_MID("%s_low", "%s_mid", "%s_high"),
    /** {@code low_ah}, {@code mid_ah}, {@code high_ah}. */
    IN_FRONT("low_%s", "mid_%s", "high_%s"),
    /** {@code leak_ma_low}, {@code leak_ma_high}: the middle is not told. */
    ENDS("%s_low", "", "%s_high");

    final String low;
    final String mid;
    final String high;

    Style(String low, String mid, String high) {
      this.low = low;
      this.mid = mid;
      this.high = high;
    }
  }
}
