package org.cellherd.alert.news;

import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Reading;

/**
 * Where news of the packs goes: broker, commands, page, terminal. Called on the owner's thread;
 * must hand over and return at once.
 */
public interface Sink {

  default void event(AlertEvent event) {}

  /** An active alert says something else than before; nothing else has changed. */
  default void standing(Alert alert) {}

  default void reading(String pack, Reading reading) {}

  /** Whether a pack is heard has changed. */
  default void state(String pack, PackState state) {}

  /** What is happening with a pack. */
  default void summary(String pack, PackSummary summary) {}

  default void morning(MorningLine line) {}

  /** A finding is new or has changed. */
  default void finding(String pack, Finding finding) {}
}
