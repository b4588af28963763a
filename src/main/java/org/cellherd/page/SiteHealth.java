package org.cellherd.page;

import java.util.Optional;
import java.util.OptionalLong;

/**
 * How the program itself does.
 *
 * @param logTrouble why the log cannot be written; empty while it can
 * @param brokerConnected whether the broker has us; empty without a broker
 * @param eventsWaiting events that no broker has yet, as far as they are in memory
 * @param diskFreeBytes free space where the log lies
 */
public record SiteHealth(
    String logTrouble,
    Optional<Boolean> brokerConnected,
    OptionalLong eventsWaiting,
    OptionalLong diskFreeBytes) {

  public static final SiteHealth UNKNOWN =
      new SiteHealth("", Optional.empty(), OptionalLong.empty(), OptionalLong.empty());
}
