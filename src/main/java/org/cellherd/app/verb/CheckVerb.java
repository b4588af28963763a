package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.plan.Alarms;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.app.ExitCode;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.mqtt.RootCheck;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code cellherd check}. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    header = "Whether config, cells, board, fuse, wire and charger fit.",
    description =
        "Checks the config, whether the parts of each plan fit together, and whether the broker "
            + "answers. Exit code 1 when parts do not fit.")
final class CheckVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private Output output;

  @Override
  public Integer call() throws InterruptedException {
    List<PackConfig> packs = log.packs();
    List<Facts> json = new ArrayList<>();
    boolean fits = true;
    for (PackConfig pack : packs) {
      pack.line().ifPresent(line -> new Decoders(log.configFile()).find(line.spec()));
      PlanAudit audit = PlanAudit.of(pack.plan(), alarms(pack.alerts()));
      fits &= audit.worst() != PlanCheck.Verdict.FAIL;
      if (output.isJson()) {
        json.add(
            Facts.of()
                .put("pack", pack.plan().id())
                .put("verdict", audit.worst().word())
                .put("checks", audit.checks().stream().map(PlanCheck::facts).toList())
                .put("untold", audit.untold())
                .build());
      } else {
        print(pack.plan(), audit);
      }
    }
    if (output.isJson()) {
      output.json(json);
    }
    if (log.mqtt().isPresent()) {
      askBroker(log.mqtt().get(), packs);
    }
    return fits ? ExitCode.DONE : ExitCode.NO;
  }

  private void askBroker(MqttSettings mqtt, List<PackConfig> packs) throws InterruptedException {
    PrintWriter out = output.isJson() ? output.err() : output.out();
    Set<String> ours = packs.stream().map(p -> p.plan().id()).collect(Collectors.toSet());
    out.println("Broker " + mqtt.link().url() + ":");
    try {
      out.println(
          RootCheck.strangers(mqtt, ours, new SystemTime())
              .map(stranger -> "  WARN  " + sentence(stranger))
              .orElse(
                  "  OK    It answers, and nobody else is under " + mqtt.topics().root() + "."));
    } catch (BrokerTrouble unreachable) {
      out.println("  WARN  " + sentence(String.valueOf(unreachable.getMessage())));
    }
  }

  private static String sentence(String text) {
    String end = text.endsWith("?") ? "" : ".";
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1) + end;
  }

  private static Alarms alarms(AlertSettings alerts) {
    RuleSettings high = alerts.rule(RuleId.CELL_HIGH);
    RuleSettings low = alerts.rule(RuleId.CELL_LOW);
    return new Alarms(
        Math.min(high.number("warn_mv"), high.number("limit_mv")),
        Math.max(low.number("warn_mv"), low.number("limit_mv")));
  }

  private void print(PackPlan plan, PlanAudit audit) {
    output.line(
        String.format(
            Locale.ROOT,
            "%s: %dS%dP %s, %.1f V nominal, %.4g Ah rated, charged to %.2f V (%d mV a cell)",
            plan.name(),
            plan.series(),
            plan.parallel(),
            plan.chemistry().word(),
            plan.nominalMv() / 1000.0,
            plan.ratedAh(),
            plan.chargeMv() / 1000.0,
            plan.chargeMvPerCell()));
    for (PlanCheck check : audit.checks()) {
      output.line(
          String.format(
              Locale.ROOT,
              "  %-4s  %s",
              check.verdict().word().toUpperCase(Locale.ROOT),
              check.sentence()));
    }
    audit.untold().forEach(sentence -> output.line("  -     " + sentence));
  }
}
