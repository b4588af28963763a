package org.cellherd.mqtt;

import java.util.Map;

/**
 * What a template is rendered for.
 *
 * @param per kind
 * @param name for messages, such as {@code pack shed cell 3}
 * @param values by placeholder, without {@code ${}}
 */
record Scope(AnnouncePlan.Announce.Per per, String name, Map<String, String> values) {
  public Scope {
    values = Map.copyOf(values);
  }
}
