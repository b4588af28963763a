package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.report.scene.Points;

/** Tracks as lines and areas; interrupted where nothing was heard. */
final class TrackLines {

  private TrackLines() {}

  static Points mean(Track track, TimeAxis time, ValueAxis value) {
    Points.Builder points = new Points.Builder();
    for (int column = 0; column < track.columns(); column++) {
      if (track.has(column)) {
        points.to(time.columnX(column), value.y(track.mean(column)));
      } else {
        points.lift();
      }
    }
    return points.build();
  }

  /** Outline from the lowest to the highest single reading of all tracks, one run at a time. */
  static List<Points> envelopes(List<Track> tracks, TimeAxis time, ValueAxis value) {
    List<Points> all = new ArrayList<>();
    int from = -1;
    int columns = tracks.stream().mapToInt(Track::columns).max().orElse(0);
    for (int column = 0; column <= columns; column++) {
      boolean has = column < columns && hasAny(tracks, column);
      if (has && from < 0) {
        from = column;
      } else if (!has && from >= 0) {
        all.add(envelope(tracks, from, column, time, value));
        from = -1;
      }
    }
    return all;
  }

  private static Points envelope(
      List<Track> tracks, int from, int to, TimeAxis time, ValueAxis value) {
    Points.Builder points = new Points.Builder();
    for (int column = from; column < to; column++) {
      points.to(time.columnX(column), value.y(highest(tracks, column)));
    }
    for (int column = to - 1; column >= from; column--) {
      points.to(time.columnX(column), value.y(lowest(tracks, column)));
    }
    return points.build();
  }

  private static boolean hasAny(List<Track> tracks, int column) {
    return tracks.stream().anyMatch(track -> track.has(column));
  }

  private static double highest(List<Track> tracks, int column) {
    return tracks.stream()
        .filter(t -> t.has(column))
        .mapToDouble(t -> t.high(column))
        .max()
        .orElse(0);
  }

  private static double lowest(List<Track> tracks, int column) {
    return tracks.stream()
        .filter(t -> t.has(column))
        .mapToDouble(t -> t.low(column))
        .min()
        .orElse(0);
  }
}
