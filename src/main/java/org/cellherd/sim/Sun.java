package org.cellherd.sim;

/** Power of solar panels over the day and the year, through clouds. A function of time alone. */
final class Sun {

  /** Clouds change about this often, h. */
  private static final double CLOUD_H = 0.2;

  private final Traits traits;
  private final double utcOffsetH;
  private final Chance days;
  private final Chance clouds;

  /**
   * What kind of sun.
   *
   * @param peakW power with the sun overhead in clear air
   * @param latitudeDeg degrees north
   * @param cloudiness 0 always clear, 1 always grey
   */
  public record Traits(double peakW, double latitudeDeg, double cloudiness) {}

  public Sun(Traits traits, double utcOffsetH, Chance chance) {
    this.traits = traits;
    this.utcOffsetH = utcOffsetH;
    this.days = chance.of("days");
    this.clouds = chance.of("clouds");
  }

  /** Power at a time in ms UTC, W. */
  public double watts(long timeMs) {
    CalendarPlace place = CalendarPlace.of(timeMs, utcOffsetH);
    double height = height(place);
    return height <= 0 ? 0 : traits.peakW() * Math.pow(height, 1.15) * clearness(place);
  }

  /** Sine of the sun's height over the horizon; the usual one-term declination. */
  private double height(CalendarPlace place) {
    double declination =
        Math.toRadians(-23.44) * Math.cos(place.yearAngle() + 2 * Math.PI * 10 / 365.25);
    double latitude = Math.toRadians(traits.latitudeDeg());
    double hourAngle = Math.PI * (place.hour() - 12) / 12;
    return Math.sin(latitude) * Math.sin(declination)
        + Math.cos(latitude) * Math.cos(declination) * Math.cos(hourAngle);
  }

  /** Share that passes: whole grey days, and single clouds on the others. */
  private double clearness(CalendarPlace place) {
    double grey = days.wander(place.day() / 2.0);
    double cover = Math.min(1, Math.max(0, grey + traits.cloudiness() * 1.6 - 1));
    double gust = clouds.wander((place.day() * 24 + place.hour()) / CLOUD_H);
    double single = gust < traits.cloudiness() * 0.7 ? 0.55 : 0;
    return Math.max(0.06, (1 - 0.85 * cover) * (1 - single));
  }
}
