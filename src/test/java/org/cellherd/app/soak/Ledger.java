package org.cellherd.app.soak;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.pack.Reading;

/** What the daemon heard and told over all its runs, to be held against log and listener. */
final class Ledger implements Sink {

  private final List<Integer> heard = new ArrayList<>();
  private final List<Integer> runEnds = new ArrayList<>();
  private final List<String> told = new ArrayList<>();

  @Override
  public void reading(String pack, Reading reading) {
    heard.add(print(reading));
  }

  @Override
  public void event(AlertEvent event) {
    told.add(event.id());
  }

  /** A reading without its time, which may be corrected afterwards. */
  static int print(Reading reading) {
    return reading.atTime(0).hashCode();
  }

  void runEnded() {
    runEnds.add(heard.size());
  }

  /** Prints of all readings, in order. */
  List<Integer> heard() {
    return heard;
  }

  /** After how many readings each run ended. */
  List<Integer> runEnds() {
    return runEnds;
  }

  /** Ids of all events, in order. */
  List<String> told() {
    return told;
  }
}
