package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.pack.Channel;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

final class AnnounceScopes {

  private AnnounceScopes() {}

  static List<Scope> of(MqttSettings settings, List<PackPlan> packs) {
    List<Scope> scopes = new ArrayList<>();
    Map<String, String> site = site(settings);
    scopes.add(new Scope(AnnouncePlan.Announce.Per.SITE, "the site", site));
    for (PackPlan plan : packs) {
      Map<String, String> pack = pack(site, settings.topics(), plan);
      scopes.add(new Scope(AnnouncePlan.Announce.Per.PACK, "pack " + plan.id(), pack));
      for (int cell = 1; cell <= plan.series(); cell++) {
        Map<String, String> values = new LinkedHashMap<>(pack);
        values.put("cell.number", Integer.toString(cell));
        values.put("cell.key", Channel.cell(cell).columnName());
        scopes.add(
            new Scope(
                AnnouncePlan.Announce.Per.CELL, "pack " + plan.id() + " cell " + cell, values));
      }
      for (PublishedValue value : PublishedValue.of(plan, settings.topics())) {
        Map<String, String> values = new LinkedHashMap<>(pack);
        values.put("value.key", value.key());
        values.put("value.name", value.name());
        values.put("value.unit", value.unit());
        values.put("value.topic", value.topic());
        String name = "pack " + plan.id() + " value " + value.key();
        scopes.add(new Scope(AnnouncePlan.Announce.Per.VALUE, name, values));
      }
    }
    return scopes;
  }

  private static Map<String, String> site(MqttSettings settings) {
    Map<String, String> values = new LinkedHashMap<>();
    values.put("site", settings.site());
    values.put("root", settings.topics().root());
    values.put("publish_every_s", Integer.toString(settings.publishEveryS()));
    values.put("valid_s", Long.toString(settings.validS()));
    values.put("heartbeat_s", Integer.toString(settings.heartbeatS()));
    values.put("topic.link", settings.topics().link());
    values.put("topic.heartbeat", settings.topics().heartbeat());
    values.put("topic.ack", settings.topics().ack());
    values.put("topic.morning", settings.topics().morning());
    return values;
  }

  private static Map<String, String> pack(Map<String, String> site, Topics topics, PackPlan plan) {
    Map<String, String> values = new LinkedHashMap<>(site);
    values.put("pack.id", plan.id());
    values.put("pack.name", plan.name());
    values.put("pack.chemistry", plan.chemistry().word());
    values.put("pack.series", Integer.toString(plan.series()));
    values.put("pack.parallel", Integer.toString(plan.parallel()));
    values.put("pack.rated_ah", Spoken.exactly(plan.ratedMah(), 3));
    values.put("pack.nominal_v", Spoken.exactly(plan.nominalMv(), 3));
    values.put("pack.charge_v", Spoken.exactly(plan.chargeMv(), 3));
    values.put("cell.cut_off_high_v", Spoken.exactly(plan.limits().cutOffHighMv(), 3));
    values.put("cell.cut_off_low_v", Spoken.exactly(plan.limits().cutOffLowMv(), 3));
    values.put("topic.reading", topics.reading(plan.id()));
    values.put("topic.state", topics.state(plan.id()));
    values.put("topic.summary", topics.summary(plan.id()));
    values.put("topic.event", topics.event(plan.id()));
    values.put("topic.alert", topics.root() + "/" + plan.id() + "/alert");
    values.put("topic.finding", topics.root() + "/" + plan.id() + "/finding");
    return values;
  }
}
