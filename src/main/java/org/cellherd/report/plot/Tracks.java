package org.cellherd.report.plot;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;

/**
 * Every quantity of a pack between two times, in equal columns; memory does not grow with the
 * readings poured in. Units are those that people read: cells in V, deviations in mV, current in A,
 * temperatures in degC. One thread.
 */
public final class Tracks {

  /** Columns enough for any picture. */
  private static final int MOST_COLUMNS = 480;

  /** From so many days on a column is a day: a part of one would show day and night as a beat. */
  private static final long DAILY_FROM = 40;

  private final long fromMs;
  private final long toMs;
  private final int columns;
  private final Map<Channel, Track> tracks = new TreeMap<>();
  private final Map<Integer, Track> deviations = new TreeMap<>();
  private boolean deviationsFromMeans;
  private final HeardTimes hearing = new HeardTimes();
  private boolean isHearingTold;

  /**
   * Empty columns.
   *
   * @throws IllegalArgumentException when the time does not run forward
   */
  public Tracks(long fromMs, long toMs) {
    if (toMs <= fromMs) {
      throw new IllegalArgumentException("no time between " + fromMs + " and " + toMs);
    }
    this.fromMs = fromMs;
    this.toMs = toMs;
    long days = Math.round((toMs - fromMs) / (double) TimeUnit.DAYS.toMillis(1));
    this.columns = days >= DAILY_FROM ? (int) Math.min(days, MOST_COLUMNS) : MOST_COLUMNS;
  }

  public int columns() {
    return columns;
  }

  /** Start, ms UTC. */
  public long fromMs() {
    return fromMs;
  }

  /** End, ms UTC. */
  public long toMs() {
    return toMs;
  }

  /** Time of the first and of the last reading poured in; empty without any. */
  public Optional<Span> heard() {
    return hearing.isAny()
        ? Optional.of(new Span(hearing.firstMs(), hearing.lastMs()))
        : Optional.empty();
  }

  /** Holes between what was poured in, in order. */
  public List<Span> holes() {
    return hearing.holes();
  }

  /** From one time to another, ms UTC. */
  public record Span(long fromMs, long toMs) {}

  /** Pours in a reading; one outside the time is left out. */
  public void add(Reading reading) {
    int column = column(reading.timeMs());
    if (column < 0) {
      return;
    }
    hearing.at(reading.timeMs());
    put(reading, Channel.of(Channel.Kind.CURRENT), column);
    put(reading, Channel.of(Channel.Kind.PACK_VOLTAGE), column);
    put(reading, Channel.of(Channel.Kind.SOC), column);
    for (int sensor = 1; sensor <= reading.temperatures().count(); sensor++) {
      put(reading, Channel.temperature(sensor), column);
    }
    cells(reading.cells(), column);
  }

  /** Tells a stretch with readings, where that is known better than by what is poured in. */
  public void hear(Span span) {
    if (span.toMs() > fromMs && span.fromMs() < toMs) {
      isHearingTold = true;
      hearing.between(Math.max(span.fromMs(), fromMs), Math.min(span.toMs(), toMs));
    }
  }

  /**
   * Pours in a statistic of many readings, such as a row of an hour; values in the stored integer's
   * unit. Deviations are then taken from the means.
   *
   * @param count readings in it
   */
  public void add(Channel channel, Span span, double min, double mean, double max, long count) {
    if (span.toMs() <= fromMs || span.fromMs() >= toMs || count < 1) {
      return;
    }
    if (!isHearingTold) {
      hearing.between(Math.max(span.fromMs(), fromMs), Math.min(span.toMs(), toMs));
    }
    double scale = Math.pow(10, -channel.kind().decimals());
    int first = column(Math.max(span.fromMs(), fromMs));
    int last = column(Math.min(span.toMs(), toMs) - 1);
    Track track = track(channel);
    for (int column = first; column <= last; column++) {
      track.add(column, min * scale, mean * scale, max * scale, (double) count);
    }
    deviationsFromMeans |= channel.kind() == Channel.Kind.CELL;
  }

  /** A quantity; empty when nothing of it was poured in. */
  public Optional<Track> of(Channel channel) {
    return Optional.ofNullable(tracks.get(channel));
  }

  /** Highest number of a kind that is there. */
  public int count(Channel.Kind kind) {
    return tracks.keySet().stream()
        .filter(channel -> channel.kind() == kind)
        .mapToInt(Channel::number)
        .max()
        .orElse(0);
  }

  /** A cell's distance from the pack's median, mV. */
  public Optional<Track> deviation(int cell) {
    if (deviationsFromMeans) {
      deviationsFromMeans = false;
      MeanDeviations.fill(this, deviations);
    }
    return Optional.ofNullable(deviations.get(cell));
  }

  /** The newest of it, mV; empty where the cell has no value. */
  public OptionalDouble lastDeviation(int cell) {
    return deviation(cell)
        .filter(track -> track.last() >= 0)
        .map(track -> OptionalDouble.of(track.mean(track.last())))
        .orElse(OptionalDouble.empty());
  }

  private void cells(CellVoltages cells, int column) {
    if (cells.presentCount() == 0) {
      return;
    }
    double median = cells.medianMv();
    for (int cell = 1; cell <= cells.count(); cell++) {
      if (cells.has(cell)) {
        double mv = cells.mv(cell);
        track(Channel.cell(cell)).add(column, mv / 1000, mv / 1000, mv / 1000, 1);
        double away = mv - median;
        deviations.computeIfAbsent(cell, c -> new Track(columns)).add(column, away, away, away, 1);
      }
    }
  }

  private void put(Reading reading, Channel channel, int column) {
    if (reading.value(channel).isPresent()) {
      double scale = Math.pow(10, -channel.kind().decimals());
      double value = reading.value(channel).getAsLong() * scale;
      track(channel).add(column, value, value, value, 1);
    }
  }

  private Track track(Channel channel) {
    return tracks.computeIfAbsent(channel, c -> new Track(columns));
  }

  private int column(long timeMs) {
    if (timeMs < fromMs || timeMs >= toMs) {
      return -1;
    }
    return (int) ((double) (timeMs - fromMs) * columns / (toMs - fromMs));
  }
}
