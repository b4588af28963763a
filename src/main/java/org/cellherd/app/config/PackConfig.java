package org.cellherd.app.config;

import java.util.Optional;
import org.cellherd.pack.PackPlan;

/**
 * One pack of the config.
 *
 * @param plan the builder's plan
 * @param line how its board is reached; empty when the file holds only a plan
 */
public record PackConfig(PackPlan plan, Optional<LineConfig> line) {}
