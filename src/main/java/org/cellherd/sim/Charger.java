package org.cellherd.sim;

import org.jspecify.annotations.Nullable;

/**
 * A charger of constant current, then constant voltage, then float or nothing, as its settings say.
 * Belongs to one thread.
 *
 * <pre>
 * BULK ──voltage reached──► HOLD ──tail current or absorb timer──► FLOAT or DONE ──low──► BULK
 * </pre>
 */
final class Charger {

  public enum State {
    BULK,
    HOLD,
    FLOAT,
    DONE
  }

  /** Below its voltage by less than this, it counts as reached, V. */
  private static final double REACHED_V = 0.02;

  /** Current must stay below the tail for so long, s. */
  private static final double TAIL_S = 60;

  private final Traits traits;
  private final double utcOffsetH;
  private final @Nullable Sun sun;
  private State state = State.BULK;
  private double heldS;
  private double tailS;

  /**
   * Settings of a charger.
   *
   * @param amperes greatest current
   * @param holdV voltage of the whole pack that it never passes
   * @param tailA the charge ends below this current; 0 never
   * @param absorbS the charge ends after so long at its voltage; infinite never
   * @param floatV voltage afterwards; 0 is none
   * @param rebulkV begins again below this voltage
   * @param fromH hour of the local day at which it is switched on
   * @param toH hour at which it is switched off; equal to {@code fromH} is always on
   */
  public record Traits(
      double amperes,
      double holdV,
      double tailA,
      double absorbS,
      double floatV,
      double rebulkV,
      double fromH,
      double toH) {}

  /** A charger about to begin, fed by the sun where one is given. */
  public Charger(Traits traits, double utcOffsetH, @Nullable Sun sun) {
    this.traits = traits;
    this.utcOffsetH = utcOffsetH;
    this.sun = sun;
  }

  /** What it could give at a time in ms UTC into a bus of some V, A. */
  public double giveA(long timeMs, double busV) {
    if (traits.fromH() != traits.toH()) {
      double hour = CalendarPlace.of(timeMs, utcOffsetH).hour();
      boolean day = traits.fromH() < traits.toH();
      boolean in = hour >= traits.fromH() && hour < traits.toH();
      boolean inNight = hour >= traits.fromH() || hour < traits.toH();
      if (day ? !in : !inNight) {
        return 0;
      }
    }
    return sun == null ? traits.amperes() : Math.min(traits.amperes(), sun.watts(timeMs) / busV);
  }

  public State state() {
    return state;
  }

  /** Voltage that it does not pass now, V; 0 when it gives nothing. */
  public double limitV() {
    return switch (state) {
      case BULK, HOLD -> traits.holdV();
      case FLOAT -> traits.floatV();
      case DONE -> 0;
    };
  }

  /**
   * Takes what flowed for some seconds.
   *
   * @param busV voltage at its terminals
   * @param amperes what it gave
   * @param heard false when no pack takes current from it, so that neither end is counted
   */
  public void step(double busV, double amperes, double seconds, boolean heard) {
    switch (state) {
      case BULK -> bulk(busV, amperes, heard);
      case HOLD -> hold(busV, amperes, seconds, heard);
      case FLOAT, DONE -> {
        if (busV < traits.rebulkV()) {
          begin();
        }
      }
    }
  }

  private void bulk(double busV, double amperes, boolean heard) {
    if (heard && amperes > 0 && busV >= traits.holdV() - REACHED_V) {
      state = State.HOLD;
    }
  }

  private void hold(double busV, double amperes, double seconds, boolean heard) {
    if (!heard || busV < traits.holdV() - REACHED_V) {
      tailS = 0;
      return;
    }
    heldS += seconds;
    tailS = amperes < traits.tailA() ? tailS + seconds : 0;
    if (heldS >= traits.absorbS() || tailS >= TAIL_S) {
      state = traits.floatV() > 0 ? State.FLOAT : State.DONE;
    }
  }

  public void begin() {
    state = State.BULK;
    heldS = 0;
    tailS = 0;
  }
}
