package org.cellherd.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.cellherd.pack.Gap;
import org.cellherd.report.plot.Tracks;

/** How much of a time was heard. */
final class Coverage {

  /** A smaller part of the time at either end is no gap, but how often readings come. */
  private static final double EDGE_SHARE = 480;

  private static final int MOST_TOLD = 100;

  private final Tracks tracks;
  private final List<Tracks.Span> silent;

  Coverage(ReportInput input) {
    this.tracks = input.tracks();
    this.silent = joined(input);
  }

  /** Share of the time with readings, percent. */
  double percent() {
    double all = tracks.toMs() - tracks.fromMs();
    double quiet = silent.stream().mapToDouble(span -> span.toMs() - span.fromMs()).sum();
    return 100 * (1 - quiet / all);
  }

  /** Stretches without readings, in order, not overlapping: the first, as many as anybody reads. */
  List<Tracks.Span> told() {
    return silent.subList(0, Math.min(MOST_TOLD, silent.size()));
  }

  /** How many come after those. */
  int untold() {
    return silent.size() - told().size();
  }

  private List<Tracks.Span> joined(ReportInput input) {
    List<Tracks.Span> spans = new ArrayList<>();
    for (Gap gap : input.evidence().gaps()) {
      add(spans, gap.fromMs(), gap.toMs());
    }
    tracks.holes().forEach(hole -> add(spans, hole.fromMs(), hole.toMs()));
    Tracks.Span heard = tracks.heard().orElse(new Tracks.Span(tracks.toMs(), tracks.toMs()));
    double edge = (tracks.toMs() - tracks.fromMs()) / EDGE_SHARE;
    if (heard.fromMs() - tracks.fromMs() > edge) {
      add(spans, tracks.fromMs(), heard.fromMs());
    }
    if (tracks.toMs() - heard.toMs() > edge) {
      add(spans, heard.toMs(), tracks.toMs());
    }
    spans.sort(Comparator.comparingLong(Tracks.Span::fromMs));
    List<Tracks.Span> joined = new ArrayList<>();
    for (Tracks.Span span : spans) {
      int last = joined.size() - 1;
      if (last >= 0 && span.fromMs() <= joined.get(last).toMs()) {
        long end = Math.max(span.toMs(), joined.get(last).toMs());
        joined.set(last, new Tracks.Span(joined.get(last).fromMs(), end));
      } else {
        joined.add(span);
      }
    }
    return joined;
  }

  private void add(List<Tracks.Span> spans, long fromMs, long toMs) {
    long from = Math.max(fromMs, tracks.fromMs());
    long to = Math.min(toMs, tracks.toMs());
    if (to > from) {
      spans.add(new Tracks.Span(from, to));
    }
  }
}
