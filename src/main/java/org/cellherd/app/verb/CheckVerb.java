package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.analysis.plan.BoardFit;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.app.ExitCode;
import org.cellherd.app.command.CommandCheck;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.PackConfig;
import org.cellherd.mqtt.BrokerFile;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    header = "Whether config, cells, board, fuse, wire and charger fit.",
    description =
        "Checks the config, whether the parts of each plan fit together, whether the programs of "
            + "[[alert.command]] may be run, by the service's user for the installed config, and "
            + "whether the broker answers. Exit code 1 when one of these fails, 4 when the log is "
            + "damaged or lacks readings.")
final class CheckVerb implements Callable<Integer> {

  private static final String NO_READING =
      "Not checked: whether the board agrees with the plan (the log has no reading of it; see:"
          + " cellherd read).";

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;

  @Override
  public Integer call() throws InterruptedException, StorageFailure {
    log.refuseCentre("is checked at its site, which has its config, cables and broker");
    List<PackConfig> packs = log.packs();
    Map<PackPlan, PlanAudit> audits = new LinkedHashMap<>();
    for (PackConfig pack : packs) {
      pack.line().ifPresent(line -> new Decoders(log.configFile()).find(line.spec()));
      PlanAudit audit = PlanAudit.of(pack.plan(), OurAlarms.of(pack.alerts()));
      Optional<List<PlanCheck>> board = board(pack.plan());
      audits.put(pack.plan(), board.map(audit::with).orElseGet(() -> audit.without(NO_READING)));
    }
    List<CommandCheck> commands = log.commands();
    if (!output.isJson()) {
      // Before the broker is asked, which may take a while.
      audits.forEach(this::print);
      print(commands);
    }
    Optional<BrokerCheck> broker = Optional.empty();
    if (log.mqtt().isPresent()) {
      broker = Optional.of(BrokerCheck.of(log.mqtt().get(), packs, BrokerFile.beside(log.file())));
    }
    if (output.isJson()) {
      output.json(json(audits, commands, broker));
    } else {
      broker.ifPresent(answer -> answer.lines().forEach(output::line));
    }
    boolean fits = audits.values().stream().noneMatch(a -> a.worst() == PlanCheck.Verdict.FAIL);
    fits &= commands.stream().noneMatch(c -> c.verdict() == PlanCheck.Verdict.FAIL);
    fits &= broker.stream().noneMatch(answer -> answer.verdict() == PlanCheck.Verdict.FAIL);
    return Math.max(fits ? ExitCode.DONE : ExitCode.NO, examined());
  }

  /** Names what the log lacks; nothing where there is no log. */
  private int examined() throws StorageFailure {
    if (!log.isLogThere()) {
      return ExitCode.DONE;
    }
    try (LogFile file = log.openForReading()) {
      file.examine();
      return LogOptions.answered(file);
    }
  }

  /** Where the newest reading of the log contradicts the plan; empty where there is none. */
  private Optional<List<PlanCheck>> board(PackPlan plan) throws StorageFailure {
    if (!log.isLogThere()) {
      return Optional.empty();
    }
    try (LogFile file = log.openForReading()) {
      return NewestReading.of(file, plan.id()).map(r -> BoardFit.of(plan, r));
    }
  }

  private static Facts json(
      Map<PackPlan, PlanAudit> audits, List<CommandCheck> commands, Optional<BrokerCheck> broker) {
    List<Facts> packs = new ArrayList<>();
    audits.forEach((plan, audit) -> packs.add(facts(plan, audit)));
    Facts.Builder all = Facts.of().put("packs", packs);
    all.put("commands", commands.stream().map(CommandCheck::facts).toList());
    broker.ifPresent(answer -> all.put("broker", answer.facts()));
    return all.build();
  }

  private static Facts facts(PackPlan plan, PlanAudit audit) {
    return Facts.of()
        .put("pack", plan.id())
        .put("verdict", audit.worst().word())
        .put("checks", audit.checks().stream().map(PlanCheck::facts).toList())
        .put("untold", audit.untold())
        .build();
  }

  private void print(List<CommandCheck> commands) {
    if (!commands.isEmpty()) {
      output.line("Programs that cellherd runs:");
      commands.forEach(check -> output.line(check.line()));
    }
  }

  private void print(PackPlan plan, PlanAudit audit) {
    output.line(
        String.format(
            Locale.ROOT,
            "%s: %dS%dP %s, %.1f V nominal, %s Ah rated, charged to %.2f V (%d mV a cell)",
            plan.name(),
            plan.series(),
            plan.parallel(),
            plan.chemistry().word(),
            plan.nominalMv() / 1000.0,
            Spoken.digits(plan.ratedAh(), 4),
            plan.chargeMv() / 1000.0,
            plan.chargeMvPerCell()));
    audit.checks().forEach(check -> output.line(check.verdict().line(check.sentence())));
    audit.untold().forEach(sentence -> output.line("  -     " + sentence));
  }
}
