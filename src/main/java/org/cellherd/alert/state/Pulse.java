package org.cellherd.alert.state;

import java.time.ZoneId;
import java.time.ZoneOffset;

/**
 * The moment of one log entry as the state machines see it.
 *
 * @param timeMs wall time, ms UTC
 * @param ageMs time that passed since the engine's first entry, steps of the clock taken out, ms
 * @param creditMs time since the entry before, ms; 0 across a restart
 * @param swing counts how often the pack turned from charge to discharge or back by a good part of
 *     its depth
 * @param session number of the run
 * @param clockSure false when the wall clock may be wrong
 * @param zone zone of the times in sentences
 */
public record Pulse(
    long timeMs,
    long ageMs,
    long creditMs,
    int swing,
    long session,
    boolean clockSure,
    ZoneId zone) {

  public static final Pulse NONE = new Pulse(0, 0, 0, 0, 0, false, ZoneOffset.UTC);

  /** The same with another time since the last judgement. */
  public Pulse withCreditMs(long ms) {
    return new Pulse(timeMs, ageMs, ms, swing, session, clockSure, zone);
  }
}
