package org.cellherd.app.config;

import java.time.LocalTime;
import java.util.List;

/**
 * When the day's line is told.
 *
 * @param at local time
 * @param run program and arguments that are told too; empty for none
 */
public record MorningConfig(LocalTime at, List<String> run) {
  public MorningConfig {
    run = List.copyOf(run);
  }
}
