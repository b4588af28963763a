package org.cellherd.report.plot;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.Channel;

/** Cells' distances from the median when only statistics are there: taken from the means. */
final class MeanDeviations {

  private static final double MV_PER_V = 1000;

  private MeanDeviations() {}

  static void fill(Tracks tracks, Map<Integer, Track> deviations) {
    int cells = tracks.count(Channel.Kind.CELL);
    deviations.clear();
    for (int column = 0; column < tracks.columns(); column++) {
      double[] means = means(tracks, cells, column);
      double median = median(means);
      for (int cell = 1; cell <= cells; cell++) {
        if (!Double.isNaN(means[cell - 1])) {
          double away = (means[cell - 1] - median) * MV_PER_V;
          deviations
              .computeIfAbsent(cell, c -> new Track(tracks.columns()))
              .add(column, away, away, away, 1);
        }
      }
    }
  }

  private static double[] means(Tracks tracks, int cells, int column) {
    double[] means = new double[cells];
    for (int cell = 1; cell <= cells; cell++) {
      Optional<Track> track = tracks.of(Channel.cell(cell));
      means[cell - 1] =
          track.isPresent() && track.get().has(column) ? track.get().mean(column) : Double.NaN;
    }
    return means;
  }

  private static double median(double[] values) {
    double[] present = Arrays.stream(values).filter(v -> !Double.isNaN(v)).sorted().toArray();
    if (present.length == 0) {
      return Double.NaN;
    }
    int middle = present.length / 2;
    return present.length % 2 == 1 ? present[middle] : (present[middle - 1] + present[middle]) / 2;
  }
}
