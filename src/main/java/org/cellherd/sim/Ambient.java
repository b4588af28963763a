package org.cellherd.sim;

/**
 * Temperature of the air around a pack: a yearly and a daily wave, and weather. A function of time
 * alone.
 */
final class Ambient {

  /** Northern warmest day, about 20 July, as an angle of the year. */
  private static final double WARMEST = 2 * Math.PI * 200 / 365.25;

  private final Traits traits;
  private final double utcOffsetH;
  private final Chance weather;

  /**
   * What kind of air.
   *
   * @param meanC mean of the year, or of the whole run where the season is 0
   * @param dailyC half of the daily swing, warmest at 15:00
   * @param seasonC half of the yearly swing
   * @param weatherC half of what the weather adds or takes from day to day
   */
  public record Traits(double meanC, double dailyC, double seasonC, double weatherC) {}

  public Ambient(Traits traits, double utcOffsetH, Chance chance) {
    this.traits = traits;
    this.utcOffsetH = utcOffsetH;
    this.weather = chance.of("weather");
  }

  /** Temperature at a time in ms UTC, degC. */
  public double celsius(long timeMs) {
    CalendarPlace place = CalendarPlace.of(timeMs, utcOffsetH);
    double day = traits.dailyC() * Math.cos(2 * Math.PI * (place.hour() - 15) / 24);
    double season = traits.seasonC() * Math.cos(place.yearAngle() - WARMEST);
    double change = weather.wander(place.day() + place.hour() / 24) * 2 - 1;
    return traits.meanC() + day + season + traits.weatherC() * change;
  }
}
