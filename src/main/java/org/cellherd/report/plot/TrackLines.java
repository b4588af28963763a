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

  /** Outline from the lowest to the highest single reading, one run at a time. */
  static List<Points> envelopes(Track track, TimeAxis time, ValueAxis value) {
    List<Points> all = new ArrayList<>();
    int from = -1;
    for (int column = 0; column <= track.columns(); column++) {
      boolean has = column < track.columns() && track.has(column);
      if (has && from < 0) {
        from = column;
      } else if (!has && from >= 0) {
        all.add(envelope(track, from, column, time, value));
        from = -1;
      }
    }
    return all;
  }

  private static Points envelope(Track track, int from, int to, TimeAxis time, ValueAxis value) {
    Points.Builder points = new Points.Builder();
    for (int column = from; column < to; column++) {
      points.to(time.columnX(column), value.y(track.high(column)));
    }
    for (int column = to - 1; column >= from; column--) {
      points.to(time.columnX(column), value.y(track.low(column)));
    }
    return points.build();
  }
}
