package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;

/**
 * Which cells have a colour and a name. Of few all; of many those that left the band, the furthest
 * first, and the highest and the lowest at the end. The others are one herd, and grey.
 */
final class StandOut {

  /** Up to so many cells all have a colour of their own. */
  private static final int FEW = 7;

  private final List<Track> cells = new ArrayList<>();
  private final Set<Integer> named = new HashSet<>();

  StandOut(Tracks tracks, BalancedBand band) {
    int count = tracks.count(Channel.Kind.CELL);
    for (int cell = 1; cell <= count; cell++) {
      cells.add(tracks.deviation(cell).orElseGet(() -> new Track(tracks.columns())));
    }
    List<Integer> heard =
        IntStream.rangeClosed(1, count).filter(cell -> of(cell).last() >= 0).boxed().toList();
    heard.stream()
        .filter(cell -> count <= FEW || Math.abs(peakMv(cell)) > band.edgeMv())
        .sorted(Comparator.comparingDouble((Integer cell) -> -Math.abs(peakMv(cell))))
        .limit(FEW)
        .forEach(named::add);
    Comparator<Integer> byEnd = Comparator.comparingDouble(cell -> lastMv(cell));
    heard.stream().max(byEnd).ifPresent(named::add);
    heard.stream().min(byEnd).ifPresent(named::add);
  }

  /** Distances of a cell from the median, mV; cells count from 1. */
  Track of(int cell) {
    return cells.get(cell - 1);
  }

  List<Track> all() {
    return cells;
  }

  boolean isNamed(int cell) {
    return named.contains(cell);
  }

  /** A cell's line: its own, or thin and grey among many. */
  Pen pen(int cell, double width) {
    return isNamed(cell) ? Pen.line(cell, width) : Pen.of(Ink.SOFT, width / 2);
  }

  /** Column in which a cell's mean was furthest from the median; -1 where it was never heard. */
  int peak(int cell) {
    Track track = of(cell);
    int peak = -1;
    for (int column = 0; column < track.columns(); column++) {
      boolean isFurther =
          track.has(column)
              && (peak < 0 || Math.abs(track.mean(column)) > Math.abs(track.mean(peak)));
      peak = isFurther ? column : peak;
    }
    return peak;
  }

  double peakMv(int cell) {
    int peak = peak(cell);
    return peak < 0 ? 0 : of(cell).mean(peak);
  }

  private double lastMv(int cell) {
    return of(cell).mean(of(cell).last());
  }

  /** "Grey: the other 10 cells, within 9 mV of the median."; empty where all have a name. */
  String others() {
    List<Integer> grey =
        IntStream.rangeClosed(1, cells.size())
            .filter(c -> !isNamed(c) && of(c).last() >= 0)
            .boxed()
            .toList();
    double most = grey.stream().mapToDouble(cell -> Math.abs(peakMv(cell))).max().orElse(0);
    return grey.isEmpty()
        ? ""
        : " Grey: the other %s, within %s mV of the median."
            .formatted(Spoken.counted(grey.size(), "cell"), Math.round(Math.ceil(most)));
  }
}
