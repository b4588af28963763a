package org.cellherd.analysis.setpoint;

import java.util.OptionalDouble;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.Worded;

/**
 * One number to enter.
 *
 * @param place where
 * @param key such as {@code cell_trip_high_mv}
 * @param name what it is, for people
 * @param value in {@code unit}; empty where nothing is to be set, as no float
 * @param unit {@code mV A degC pct}
 * @param shown the value for people
 * @param reason why
 * @param source where it comes from
 */
public record SetPoint(
    Place place,
    String key,
    String name,
    OptionalDouble value,
    String unit,
    String shown,
    String reason,
    String source) {

  /** Where a number is entered. */
  public enum Place implements Worded {
    CELL("Board, a cell"),
    PACK("Board, the pack"),
    CURRENT("Board, currents"),
    TEMPERATURE("Board, temperatures"),
    BALANCE("Board, balancing"),
    CHARGER("Charger"),
    STORAGE("Storage");

    private final String title;

    Place(String title) {
      this.title = title;
    }

    /** Title for people. */
    public String title() {
      return title;
    }
  }

  static SetPoint cell(Place place, String key, String name, int mv, Why why) {
    return of(place, key, name, mv, "mV", mv < 1000 ? mv + " mV" : Spoken.volts(mv), why);
  }

  static SetPoint pack(Place place, String key, String name, int mv, Why why) {
    return of(place, key, name, mv, "mV", Spoken.exactly(mv, 3) + " V", why);
  }

  static SetPoint amps(Place place, String key, String name, double amps, Why why) {
    return of(place, key, name, amps, "A", CurrentLimit.shown(amps) + " A", why);
  }

  static SetPoint celsius(String key, String name, int c, Why why) {
    return of(Place.TEMPERATURE, key, name, c, "degC", Spoken.exactly(c, 0) + " \u00b0C", why);
  }

  static SetPoint none(Place place, String key, String name, String shown, Why why) {
    return new SetPoint(
        place, key, name, OptionalDouble.empty(), "mV", shown, why.reason(), why.source());
  }

  private static SetPoint of(
      Place place, String key, String name, double value, String unit, String shown, Why why) {
    return new SetPoint(
        place, key, name, OptionalDouble.of(value), unit, shown, why.reason(), why.source());
  }

  public Facts facts() {
    return Facts.of()
        .put("key", key)
        .put("place", place.word())
        .put("name", name)
        .put("value", value, 3)
        .put("unit", unit)
        .put("text", shown)
        .put("reason", reason)
        .put("source", source)
        .build();
  }
}
