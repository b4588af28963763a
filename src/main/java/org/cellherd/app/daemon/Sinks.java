package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.List;
import java.util.function.Consumer;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Reading;

/** Tells several sinks in turn; one that fails does not keep the news from the others. */
final class Sinks implements Sink {

  private static final Logger LOG = System.getLogger(Sinks.class.getName());

  private final List<Sink> sinks;

  Sinks(List<Sink> sinks) {
    this.sinks = List.copyOf(sinks);
  }

  private void each(Consumer<Sink> call) {
    for (Sink sink : sinks) {
      try {
        call.accept(sink);
      } catch (RuntimeException unexpected) {
        String name = sink.getClass().getSimpleName();
        LOG.log(Level.ERROR, "unexpected in " + name + ", going on: " + unexpected, unexpected);
      }
    }
  }

  @Override
  public void event(AlertEvent event) {
    each(h -> h.event(event));
  }

  @Override
  public void standing(Alert alert) {
    each(h -> h.standing(alert));
  }

  @Override
  public void reading(String pack, Reading reading) {
    each(h -> h.reading(pack, reading));
  }

  @Override
  public void state(String pack, PackState state) {
    each(h -> h.state(pack, state));
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    each(h -> h.summary(pack, summary));
  }

  @Override
  public void morning(MorningLine line) {
    each(h -> h.morning(line));
  }

  @Override
  public void finding(String pack, Finding finding) {
    each(h -> h.finding(pack, finding));
  }
}
