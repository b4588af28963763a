package org.cellherd.app.config;

import java.util.List;

/**
 * Packs that share one bus.
 *
 * @param id a-z, 0-9 and hyphen
 * @param packs ids of its packs
 */
public record Bank(String id, List<String> packs) {
  public Bank {
    packs = List.copyOf(packs);
  }
}
