package org.cellherd.app.daemon;

import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.mqtt.MorningLine;
import org.cellherd.mqtt.MqttPublisher;
import org.cellherd.mqtt.PackState;
import org.cellherd.mqtt.PackSummary;
import org.cellherd.pack.Reading;

/** Tells the broker. */
record MqttHerald(MqttPublisher mqtt) implements Herald {
  @Override
  public void event(AlertEvent event) {
    mqtt.event(event);
  }

  @Override
  public void standing(Alert alert) {
    mqtt.standing(alert);
  }

  @Override
  public void reading(String pack, Reading reading) {
    mqtt.reading(pack, reading);
  }

  @Override
  public void state(String pack, PackState state) {
    mqtt.state(pack, state);
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    mqtt.summary(pack, summary);
  }

  @Override
  public void morning(MorningLine line) {
    mqtt.morning(line);
  }

  @Override
  public void finding(String pack, Finding finding) {
    mqtt.finding(pack, finding);
  }
}
