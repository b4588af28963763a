package org.cellherd.app.daemon;

import org.cellherd.alert.AlertEvent;
import org.cellherd.mqtt.MorningLine;

/** Runs the owner's programs. */
record CommandHerald(CommandHook commands) implements Herald {
  @Override
  public void event(AlertEvent event) {
    commands.tell(event);
  }

  @Override
  public void morning(MorningLine line) {
    commands.tell(line);
  }
}
