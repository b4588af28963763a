package org.cellherd.app.config;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.alert.Priority;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.Parameter;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.toml.TomlTable;

/** Lays {@code [alert]} of the file, and {@code [pack.alert]} of one pack, over the defaults. */
final class AlertReader {

  private AlertReader() {}

  static AlertSettings read(TomlTable alert, AlertSettings defaults) {
    AlertSettings settings = defaults;
    if (alert.has("daily_quota")) {
      settings = settings.withDailyQuota(alert.integer("daily_quota", 1, 1000));
    }
    for (RuleSettings rule : defaults.all()) {
      Optional<TomlTable> table = alert.tableIfAny(rule.table());
      if (table.isPresent()) {
        settings = settings.with(read(table.get(), rule));
      }
    }
    return settings;
  }

  private static RuleSettings read(TomlTable table, RuleSettings defaults) {
    RuleSettings rule = defaults.withEnabled(table.bool("enabled", defaults.enabled()));
    Optional<Priority> priority = table.oneOfIfAny("priority", Priority.class);
    if (priority.isPresent()) {
      rule = rule.withPriority(priority.get());
    }
    for (Parameter parameter : defaults.parameters()) {
      OptionalDouble value = table.decimalIfAny(parameter.key(), parameter.low(), parameter.high());
      if (value.isPresent()) {
        rule = rule.with(parameter.key(), value.getAsDouble());
      }
    }
    return rule;
  }
}
