package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Shape;

/**
 * The herd strip: every cell a line of its distance from the pack's median in mV, the band that
 * counts as balanced shaded, numbers beside the lines.
 */
final class HerdStrip {

  /** At least so much is shown on both sides, mV. */
  private static final double LEAST_MV = 20;

  /** For the names of peaks. */
  private static final double HEADROOM = 1.3;

  private static final double LINE = 1.4;

  private HerdStrip() {}

  static Optional<Drawing> scene(PlotInput input, Plots.Size size) {
    StandOut herd = new StandOut(input.tracks(), input.balanced());
    List<Track> cells = herd.all();
    if (cells.size() < 2) {
      return Optional.empty();
    }
    BalancedBand band = input.balanced();
    double low = Math.min(-LEAST_MV, HEADROOM * means(cells).min().orElse(0));
    double high = Math.max(LEAST_MV, HEADROOM * means(cells).max().orElse(0));
    ValueAxis value =
        ValueAxis.squeezed(low, high, band.spreadMv(), Plots.Size.TOP, size.plotHeight());
    PlotFrame frame = new PlotFrame(input, size, value);
    frame.band(-band.edgeMv(), band.edgeMv());
    frame.grid("mV");
    lines(frame, herd, value, size);
    peaks(frame, herd, value, band.edgeMv());
    return Optional.of(
        frame.drawing(
            "Herd strip: distance of every cell from the pack's median",
            description(cells, band) + herd.others()));
  }

  /** The grey ones below, the others over them. */
  private static void lines(PlotFrame frame, StandOut herd, ValueAxis value, Plots.Size size) {
    LineNames names = new LineNames(size);
    for (boolean isNamed : new boolean[] {false, true}) {
      for (int cell = 1; cell <= herd.all().size(); cell++) {
        Track track = herd.of(cell);
        if (herd.isNamed(cell) != isNamed || track.last() < 0) {
          continue;
        }
        Pen pen = herd.pen(cell, LINE);
        frame.add(new Shape.Path(TrackLines.mean(track, frame.time(), value), pen));
        if (isNamed) {
          double mv = track.mean(track.last());
          names.add(value.y(mv), Integer.toString(cell), signed(mv), pen);
        }
      }
    }
    names.shapes().forEach(frame::add);
  }

  /** What left the band is named where it was furthest away, unless it is so at the end. */
  private static void peaks(PlotFrame frame, StandOut herd, ValueAxis value, double edgeMv) {
    List<Integer> cells =
        IntStream.rangeClosed(1, herd.all().size())
            .filter(cell -> herd.isNamed(cell) && Math.abs(herd.peakMv(cell)) > edgeMv)
            .filter(cell -> herd.of(cell).last() - herd.peak(cell) > herd.of(cell).columns() / 20)
            .boxed()
            .sorted(Comparator.comparingDouble((Integer cell) -> -Math.abs(herd.peakMv(cell))))
            .toList();
    List<double[]> taken = new ArrayList<>();
    for (int cell : cells) {
      double mv = herd.peakMv(cell);
      double x = Math.max(frame.left() + 34, frame.time().columnX(herd.peak(cell)));
      double y = frame.inside(value.y(mv) + (mv > 0 ? -6 : 16));
      if (taken.stream().noneMatch(p -> Math.abs(p[0] - x) < 64 && Math.abs(p[1] - y) < 15)) {
        taken.add(new double[] {x, y});
        Shape.Letter letter = Shape.Letter.of(PlotFrame.SMALL, Ink.INK).at(Shape.Anchor.MIDDLE);
        frame.add(new Shape.Words(x, y, cell + ": " + signed(mv), letter));
      }
    }
  }

  private static String description(List<Track> cells, BalancedBand band) {
    int highest = 0;
    int lowest = 0;
    for (int i = 0; i < cells.size(); i++) {
      highest = lastMean(cells.get(i)) > lastMean(cells.get(highest)) ? i : highest;
      lowest = lastMean(cells.get(i)) < lastMean(cells.get(lowest)) ? i : lowest;
    }
    return String.format(
        Locale.ROOT,
        "At the end cell %d is highest at %s mV and cell %d lowest at %s mV from the median."
            + " %s The scale narrows outwards.",
        highest + 1,
        signed(lastMean(cells.get(highest))),
        lowest + 1,
        signed(lastMean(cells.get(lowest))),
        band.words());
  }

  private static double lastMean(Track track) {
    int last = track.last();
    return last < 0 ? 0 : track.mean(last);
  }

  private static String signed(double mv) {
    return Spoken.signed(mv, 1);
  }

  private static DoubleStream means(List<Track> cells) {
    return cells.stream()
        .flatMapToDouble(
            track ->
                IntStream.range(0, track.columns()).filter(track::has).mapToDouble(track::mean));
  }
}
