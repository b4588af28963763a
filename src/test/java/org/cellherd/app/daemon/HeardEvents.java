package org.cellherd.app.daemon;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;

/** All events of a daemon, in order. */
final class HeardEvents implements Sink {

  final List<AlertEvent> all = new ArrayList<>();

  @Override
  public void event(AlertEvent event) {
    all.add(event);
  }
}
