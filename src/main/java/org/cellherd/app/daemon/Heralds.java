package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.List;
import java.util.function.Consumer;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.mqtt.MorningLine;
import org.cellherd.mqtt.PackState;
import org.cellherd.mqtt.PackSummary;
import org.cellherd.pack.Reading;

/** Tells several heralds in turn; one that fails does not keep the news from the others. */
final class Heralds implements Herald {

  private static final Logger LOG = System.getLogger(Heralds.class.getName());

  private final List<Herald> heralds;

  Heralds(List<Herald> heralds) {
    this.heralds = List.copyOf(heralds);
  }

  private void each(Consumer<Herald> call) {
    for (Herald herald : heralds) {
      try {
        call.accept(herald);
      } catch (RuntimeException unexpected) {
        String name = herald.getClass().getSimpleName();
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
