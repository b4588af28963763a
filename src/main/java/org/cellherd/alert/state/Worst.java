package org.cellherd.alert.state;

import java.util.function.Supplier;
import org.cellherd.analysis.state.State;

/** A condition when it was at its worst: the highest level, there the farthest beyond its limit. */
final class Worst {
  private Words words = Words.NONE;
  private int level;
  private double by;
  private long timeMs;

  /** Nothing was bad yet. */
  void clear() {
    set(Words.NONE, 0, 0, 0);
  }

  void set(Worst other) {
    set(other.words, other.level, other.by, other.timeMs);
  }

  /** What is known of an earlier run: its words, which anything judged replaces. */
  void set(Words then) {
    set(then, 0, 0, timeMs);
  }

  private void set(Words words, int level, double by, long timeMs) {
    this.words = words;
    this.level = level;
    this.by = by;
    this.timeMs = timeMs;
  }

  /** Takes a condition that holds; of two as bad the later one. */
  void take(Judgement now, Supplier<Words> said, long atMs) {
    double beyond = Math.abs(now.value() - now.limit());
    if (now.level() > level || (now.level() == level && !(beyond < by))) {
      set(said.get(), now.level(), beyond, atMs);
    }
  }

  Words words() {
    return words;
  }

  int level() {
    return level;
  }

  /** False of what has no value and is as bad at any time. */
  boolean hasValue() {
    return !Double.isNaN(by);
  }

  long timeMs() {
    return timeMs;
  }

  /** The wall clock was set. */
  void shift(long deltaMs) {
    timeMs += deltaMs;
  }

  void state(State io) {
    by = io.number(by);
    level = io.number(level);
    timeMs = io.number(timeMs);
    words = words.state(io);
  }
}
