package org.cellherd.pile;

import java.util.OptionalDouble;
import org.cellherd.pack.Worded;

/**
 * One measured resistance. Only tests of the same method can be compared.
 *
 * @param mohm of the whole unit, milliohm
 * @param method how it was measured
 * @param seconds length of the pulse; 0 for alternating current
 * @param celsius temperature of the unit, if known
 */
record ResistanceTest(double mohm, Method method, double seconds, OptionalDouble celsius) {

  /** How it was measured. */
  public enum Method implements Worded {
    /** Alternating current at 1 kHz. */
    AC,
    /** A step of direct current, read some seconds after it. */
    DC
  }

  /** True when the other was measured in the same way: pulses within a factor of two. */
  public boolean isLike(ResistanceTest other) {
    return method == other.method
        && (method == Method.AC
            || Math.max(seconds, other.seconds) <= 2 * Math.min(seconds, other.seconds));
  }

  /** The method in words: 1 kHz AC, DC 10 s. */
  public String how() {
    return method == Method.AC ? "1 kHz AC" : "DC at %s s".formatted(Amount.of(seconds));
  }
}
