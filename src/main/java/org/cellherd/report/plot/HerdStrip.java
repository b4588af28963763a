package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Channel;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Scene;
import org.cellherd.report.scene.Shape;

/**
 * The herd strip: every cell a line of its distance from the pack's median in mV, the band that
 * counts as balanced shaded, numbers beside the lines.
 */
final class HerdStrip {

  /** At least so much is shown on both sides, mV. */
  private static final double LEAST_MV = 20;

  private HerdStrip() {}

  static Optional<Scene> scene(PlotInput input, PlotSize size) {
    List<Track> cells = cells(input);
    if (cells.size() < 2) {
      return Optional.empty();
    }
    double low = Math.min(-LEAST_MV, lowestMean(cells));
    double high = Math.max(LEAST_MV, highestMean(cells));
    ValueAxis value =
        ValueAxis.squeezed(low, high, input.balancedMv(), PlotSize.TOP, size.plotHeight());
    Frame frame = new Frame(input, size, value);
    frame.band(-input.balancedMv(), input.balancedMv());
    frame.gaps();
    frame.grid("mV");
    lines(frame, cells, value, size);
    frame.marks();
    return Optional.of(
        new Scene(
            size.width(),
            size.height(),
            "Herd strip: distance of every cell from the pack's median",
            description(cells, input.balancedMv()),
            frame.shapes()));
  }

  private static void lines(Frame frame, List<Track> cells, ValueAxis value, PlotSize size) {
    LineNames names = new LineNames(size);
    for (int cell = 1; cell <= cells.size(); cell++) {
      Track track = cells.get(cell - 1);
      Pen pen = Pen.line(cell, 1.4);
      frame.add(new Shape.Path(TrackLines.mean(track, frame.time(), value), pen));
      int last = track.last();
      if (last >= 0) {
        double mv = track.mean(last);
        names.add(value.y(mv), Integer.toString(cell), signed(mv), pen);
      }
    }
    names.shapes().forEach(frame::add);
  }

  private static String description(List<Track> cells, double balancedMv) {
    int highest = 0;
    int lowest = 0;
    for (int i = 0; i < cells.size(); i++) {
      highest = lastMean(cells.get(i)) > lastMean(cells.get(highest)) ? i : highest;
      lowest = lastMean(cells.get(i)) < lastMean(cells.get(lowest)) ? i : lowest;
    }
    return String.format(
        Locale.ROOT,
        "At the end cell %d is highest at %s mV and cell %d lowest at %s mV from the median."
            + " The shaded band is %.0f mV to both sides. The scale narrows outwards.",
        highest + 1,
        signed(lastMean(cells.get(highest))),
        lowest + 1,
        signed(lastMean(cells.get(lowest))),
        balancedMv);
  }

  private static double lastMean(Track track) {
    int last = track.last();
    return last < 0 ? 0 : track.mean(last);
  }

  private static String signed(double mv) {
    double shown = Math.round(mv * 10) / 10.0;
    String sign = shown > 0 ? "+" : shown < 0 ? "\u2212" : "";
    return sign + String.format(Locale.ROOT, "%.1f", Math.abs(shown));
  }

  private static List<Track> cells(PlotInput input) {
    List<Track> cells = new ArrayList<>();
    int count = input.tracks().count(Channel.Kind.CELL);
    for (int cell = 1; cell <= count; cell++) {
      cells.add(
          input.tracks().deviation(cell).orElseGet(() -> new Track(input.tracks().columns())));
    }
    return cells;
  }

  private static double lowestMean(List<Track> cells) {
    double lowest = 0;
    for (Track track : cells) {
      for (int column = 0; column < track.columns(); column++) {
        lowest = track.has(column) ? Math.min(lowest, track.mean(column)) : lowest;
      }
    }
    return lowest;
  }

  private static double highestMean(List<Track> cells) {
    double highest = 0;
    for (Track track : cells) {
      for (int column = 0; column < track.columns(); column++) {
        highest = track.has(column) ? Math.max(highest, track.mean(column)) : highest;
      }
    }
    return highest;
  }
}
