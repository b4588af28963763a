package org.cellherd.app.config;

import java.net.URI;

/**
 * Where to say "still well", for a listener elsewhere. Not a record: the address is a secret and
 * must not show in any text.
 */
public final class DeadManConfig {
  private final URI address;
  private final int everySeconds;

  public DeadManConfig(URI address, int everySeconds) {
    this.address = address;
    this.everySeconds = everySeconds;
  }

  /** The address, never printed. */
  public URI address() {
    return address;
  }

  public int everySeconds() {
    return everySeconds;
  }
}
