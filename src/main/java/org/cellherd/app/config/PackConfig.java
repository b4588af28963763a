package org.cellherd.app.config;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.app.Stop;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * One pack of the config.
 *
 * @param plan the builder's plan
 * @param line how its board is reached; empty when the pack is only imported or analysed
 * @param analysis levels of the analyses
 * @param alerts levels and delays of the rules
 */
public record PackConfig(
    PackPlan plan, Optional<LineConfig> line, AnalysisSettings analysis, AlertSettings alerts) {

  /** A pack with all defaults, as from a file that holds only a plan. */
  public static PackConfig of(PackPlan plan, ZoneId zone) {
    return new PackConfig(
        plan,
        Optional.empty(),
        AnalysisSettings.of(plan).withZone(zone),
        Rules.defaults(plan).withZone(zone));
  }

  /**
   * The one of some packs that has an id; the first where none is named.
   *
   * @throws Stop with exit code 2 where there is none
   */
  public static PackConfig among(List<PackConfig> packs, @Nullable String id) {
    List<String> ids = packs.stream().map(p -> p.plan().id()).toList();
    int at = id == null ? 0 : ids.indexOf(id);
    if (at < 0) {
      throw Stop.usage("there is no pack \"" + id + "\"; there is " + String.join(", ", ids));
    }
    return packs.get(at);
  }
}
