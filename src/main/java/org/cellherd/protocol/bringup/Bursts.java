package org.cellherd.protocol.bringup;

import java.util.AbstractList;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.stream.IntStream;

/**
 * A recording as bursts: answers by their requests where there are any, else by pauses; echoes are
 * taken off. A burst's bytes are copied when it is asked for.
 */
final class Bursts extends AbstractList<Burst> {

  private static final int LONGEST_BURST = 1 << 16;

  /** Bursts and bytes that are searched; what is found there is then held against all. */
  private static final int MOST_SEARCHED = 2000;

  private static final int MOST_SEARCHED_BYTES = 1 << 17;
  private static final int WINDOWS = 8;

  /** Pauses tried; each costs a search. */
  private static final int MOST_PAUSES = 3;

  /** Short and long pauses differ by this factor at least: less is a computer's own unrest. */
  private static final double LEAST_WIDTH = 1.8;

  /** Numbers of a burst, kept close together: a long capture holds a million of them. */
  private static final int SPAN = 4;

  private final Recording recording;

  /** Of each burst first byte, byte behind the last, piece of the request or -1, first piece. */
  private int[] spans = new int[SPAN << 6];

  private int count;
  private int request = -1;

  /**
   * The bursts between pauses.
   *
   * @param pauseMs pauses longer than this part them; of no meaning where there are requests
   */
  Bursts(Recording recording, long pauseMs) {
    this.recording = recording;
    long pause = recording.isAsked() ? Long.MAX_VALUE : pauseMs;
    int first = -1;
    for (int piece = 0; piece < recording.pieces(); piece++) {
      boolean isEnd = recording.isToBoard(piece) || parts(first, piece, pause);
      if (first >= 0 && isEnd) {
        add(first, piece);
        first = -1;
      }
      if (recording.isToBoard(piece)) {
        request = piece;
      } else if (first < 0) {
        first = piece;
      }
    }
    if (first >= 0) {
      add(first, recording.pieces());
    }
    takeEchoesOff();
    spans = Arrays.copyOf(spans, SPAN * count);
  }

  private boolean parts(int first, int piece, long pause) {
    return first >= 0
        && (recording.atMs(piece) - recording.atMs(piece - 1) > pause
            || recording.to(piece) - recording.from(first) > LONGEST_BURST);
  }

  private void add(int first, int next) {
    if (SPAN * count == spans.length) {
      spans = Arrays.copyOf(spans, SPAN * (count * 3 / 2));
    }
    int at = SPAN * count++;
    spans[at] = recording.from(first);
    spans[at + 1] = recording.to(next - 1);
    spans[at + 2] = request;
    spans[at + 3] = first;
  }

  private void takeEchoesOff() {
    long echoes = IntStream.range(0, count).filter(this::beginsWithEcho).count();
    if (echoes * 2 < count || echoes == 0) {
      return;
    }
    int left = 0;
    for (int burst = 0; burst < count; burst++) {
      int at = SPAN * burst;
      int asked = spans[at + 2];
      int echo = beginsWithEcho(burst) ? recording.to(asked) - recording.from(asked) : 0;
      if (spans[at] + echo < spans[at + 1]) {
        System.arraycopy(spans, at, spans, SPAN * left, SPAN);
        spans[SPAN * left++] += echo;
      }
    }
    count = left;
  }

  private boolean beginsWithEcho(int burst) {
    int at = SPAN * burst;
    return spans[at + 2] >= 0 && recording.holdsAt(spans[at], spans[at + 1], spans[at + 2]);
  }

  @Override
  public Burst get(int index) {
    int at = SPAN * Objects.checkIndex(index, count);
    int from = spans[at];
    int request = spans[at + 2];
    byte[] asked =
        request < 0 ? new byte[0] : recording.copy(recording.from(request), recording.to(request));
    return new Burst(
        offset -> recording.atMs(recording.pieceAt(from + offset)),
        asked,
        recording.copy(from, spans[at + 1]));
  }

  @Override
  public int size() {
    return count;
  }

  /** True when the recording holds requests. */
  boolean isAsked() {
    return recording.isAsked();
  }

  long bytes() {
    return IntStream.range(0, count).mapToLong(i -> spans[SPAN * i + 1] - spans[SPAN * i]).sum();
  }

  /**
   * Rows of neighbours from all over the capture, few enough to search in: one row alone may miss
   * what a board says rarely, single bursts would miss what follows what.
   */
  List<Burst> searched() {
    long mean = Math.max(1, bytes() / Math.max(1, size()));
    int most = (int) Math.max(WINDOWS, Math.min(MOST_SEARCHED, MOST_SEARCHED_BYTES / mean));
    if (size() <= most) {
      return List.copyOf(this);
    }
    List<Burst> some = new ArrayList<>();
    int row = most / WINDOWS;
    for (int window = 0; window < WINDOWS; window++) {
      int from = (int) ((long) (size() - row) * window / (WINDOWS - 1));
      some.addAll(subList(from, from + row));
    }
    return some;
  }

  /**
   * Pauses that may part messages, ms, the shortest first: where the pauses between pieces fall
   * into short and long. A board that says several things in a row has several.
   */
  static List<Long> pauses(Recording recording) {
    long sure = 30;
    long[] pauses = new long[Math.min(1 << 16, Math.max(0, recording.pieces() - 1))];
    for (int i = 0; i < pauses.length; i++) {
      pauses[i] = Math.max(0, recording.atMs(i + 1) - recording.atMs(i));
    }
    Arrays.sort(pauses);
    if (recording.isAsked() || pauses.length == 0) {
      return List.of(sure);
    }
    List<Long> found = new ArrayList<>();
    double[] widths = new double[pauses.length];
    for (int i = 0; i + 1 < pauses.length; i++) {
      widths[i] = pauses[i + 1] < 5 ? 0 : (pauses[i + 1] + 1.0) / (pauses[i] + 1.0);
    }
    IntStream.range(0, pauses.length)
        .filter(i -> widths[i] > LEAST_WIDTH)
        .boxed()
        .sorted(Comparator.comparingDouble(i -> -widths[i]))
        .limit(MOST_PAUSES)
        .sorted()
        .forEach(i -> found.add((pauses[i] + pauses[i + 1]) / 2));
    if (found.isEmpty() || pauses[0] > sure) {
      found.add(0, pauses[0] > sure ? sure : Long.MAX_VALUE);
    }
    return found;
  }
}
