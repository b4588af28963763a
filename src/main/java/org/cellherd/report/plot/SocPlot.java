package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** State of charge: what the board tells as a line, within which bounds the log knows it a band. */
final class SocPlot {

  /** Bounds are noted each hour; where they are missing for longer, the band is interrupted. */
  private static final long FURTHEST_MS = 3 * 3_600_000L;

  private static final double SHADE = 0.3;

  private SocPlot() {}

  static Optional<Drawing> scene(PlotInput input, Plots.Size size) {
    Optional<Track> told = input.tracks().of(Channel.of(Channel.Kind.SOC));
    List<PlotFindings.Soc> known = input.findings().soc();
    if (told.isEmpty() && known.size() < 2) {
      return Optional.empty();
    }
    ValueAxis value = ValueAxis.even(0, 100, Plots.Size.TOP, size.plotHeight());
    PlotFrame frame = new PlotFrame(input, size, value);
    frame.grid("%");
    List<List<PlotFindings.Soc>> runs = runs(input, known);
    for (List<PlotFindings.Soc> run : runs) {
      frame.add(new Shape.Area(band(frame, value, run), Ink.S3, SHADE));
    }
    told.ifPresent(track -> line(frame, value, size, track));
    return Optional.of(
        frame.drawing(
            runs.isEmpty() ? "State of charge, as the board reports it" : "State of charge",
            description(told, runs)));
  }

  private static void line(PlotFrame frame, ValueAxis value, Plots.Size size, Track track) {
    Pen pen = Pen.line(1, 1.4);
    frame.add(new Shape.Path(TrackLines.mean(track, frame.time(), value), pen));
    if (track.last() >= 0) {
      double last = track.mean(track.last());
      LineNames names = new LineNames(size);
      names.add(value.y(last), "", String.format(Locale.ROOT, "%.0f", last), pen);
      names.shapes().forEach(frame::add);
    }
  }

  private static List<List<PlotFindings.Soc>> runs(PlotInput input, List<PlotFindings.Soc> known) {
    List<List<PlotFindings.Soc>> runs = new ArrayList<>();
    long before = Long.MIN_VALUE / 2;
    for (PlotFindings.Soc soc : known) {
      if (soc.atMs() < input.tracks().fromMs() || soc.atMs() > input.tracks().toMs()) {
        continue;
      }
      if (soc.atMs() - before > FURTHEST_MS) {
        runs.add(new ArrayList<>());
      }
      runs.get(runs.size() - 1).add(soc);
      before = soc.atMs();
    }
    runs.removeIf(run -> run.size() < 2);
    return runs;
  }

  private static Points band(PlotFrame frame, ValueAxis value, List<PlotFindings.Soc> run) {
    Points.Builder points = new Points.Builder();
    for (int i = 0; i < run.size(); i++) {
      PlotFindings.Soc soc = run.get(i);
      double x = frame.time().x(soc.atMs());
      if (i > 0 && isCleared(run.get(i - 1), soc)) {
        points.to(x, value.y(Math.max(run.get(i - 1).high(), soc.high())));
      }
      points.to(x, value.y(soc.high()));
    }
    for (int i = run.size() - 1; i >= 0; i--) {
      PlotFindings.Soc soc = run.get(i);
      double x = frame.time().x(soc.atMs());
      points.to(x, value.y(soc.low()));
      if (i > 0 && isCleared(run.get(i - 1), soc)) {
        points.to(x, value.y(Math.min(run.get(i - 1).low(), soc.low())));
      }
    }
    return points.build();
  }

  /** In the hour between a full charge made it known; before that moment the old bounds held. */
  private static boolean isCleared(PlotFindings.Soc before, PlotFindings.Soc after) {
    return after.high() - after.low() < (before.high() - before.low()) / 2;
  }

  private static String description(Optional<Track> told, List<List<PlotFindings.Soc>> runs) {
    String line =
        told.isPresent() ? "The line is what the board reports." : "The board reports none.";
    if (runs.isEmpty()) {
      return line;
    }
    List<PlotFindings.Soc> newest = runs.get(runs.size() - 1);
    PlotFindings.Soc last = newest.get(newest.size() - 1);
    return "%s The band is what the log can know: at last %s %%."
        .formatted(line, Spoken.between(last.low(), last.high(), 0));
  }
}
