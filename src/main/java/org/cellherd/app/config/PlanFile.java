package org.cellherd.app.config;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;

/**
 * A file that need hold nothing but {@code [[pack]]} tables, for logs without a config.
 *
 * @param packs at least one
 * @param zone where days begin at midnight, if told
 */
public record PlanFile(List<PackConfig> packs, Optional<ZoneId> zone) {
  public PlanFile {
    packs = List.copyOf(packs);
  }
}
