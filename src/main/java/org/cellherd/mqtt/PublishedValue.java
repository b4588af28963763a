package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Channel;
import org.cellherd.pack.PackPlan;

/**
 * A single value that a dashboard may show of a pack.
 *
 * @param key its name in the JSON of its topic
 * @param name for people
 * @param unit for people; "" for words and counts
 * @param topic where its JSON is published
 */
record PublishedValue(String key, String name, String unit, String topic) {

  /** All of a pack; of temperatures those that the plan names. */
  static List<PublishedValue> of(PackPlan plan, Topics topics) {
    String reading = topics.reading(plan.id());
    String summary = topics.summary(plan.id());
    List<PublishedValue> values = new ArrayList<>();
    values.add(value(Channel.of(Channel.Kind.CURRENT), "Current", "A", reading));
    values.add(value(Channel.of(Channel.Kind.PACK_VOLTAGE), "Pack voltage", "V", reading));
    for (int cell = 1; cell <= plan.series(); cell++) {
      values.add(value(Channel.cell(cell), "Cell " + cell, "V", reading));
    }
    values.add(new PublishedValue("spread_mv", "Cell spread", "mV", reading));
    for (int sensor = 1; sensor <= plan.sensors().size(); sensor++) {
      if (plan.role(sensor) != PackPlan.SensorRole.UNUSED) {
        values.add(value(Channel.temperature(sensor), "Temperature " + sensor, "\u00b0C", reading));
      }
    }
    values.add(value(Channel.of(Channel.Kind.SOC), "State of charge, by the board", "%", reading));
    values.add(new PublishedValue("state", "Heard", "", topics.state(plan.id())));
    values.add(new PublishedValue("sentence", "What is happening", "", summary));
    values.add(new PublishedValue("worst", "Worst open alert", "", summary));
    values.add(new PublishedValue("open_alerts", "Open alerts", "", summary));
    values.add(new PublishedValue("days_since_full", "Last full", "d", summary));
    return values;
  }

  private static PublishedValue value(Channel channel, String name, String unit, String topic) {
    return new PublishedValue(channel.columnName(), name, unit, topic);
  }
}
