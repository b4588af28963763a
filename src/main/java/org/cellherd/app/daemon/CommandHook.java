package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ArrayBlockingQueue;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.TestAlert;
import org.cellherd.app.command.CommandRun;

/**
 * Runs fixed programs for critical events, to drive a buzzer or lamp without any network, and one
 * for the line of the day. Own thread.
 */
public final class CommandHook implements Sink, AutoCloseable {

  private static final Logger LOG = System.getLogger(CommandHook.class.getName());

  private final List<List<String>> commands;
  private final List<String> morning;
  private final ArrayBlockingQueue<CommandRun> queue = new ArrayBlockingQueue<>(100);
  private final Thread thread;

  /** Starts the thread unless there is nothing to run. */
  public CommandHook(List<List<String>> commands, List<String> morning) {
    this.commands = List.copyOf(commands);
    this.morning = List.copyOf(morning);
    this.thread = new Thread(this::run, "commands");
    thread.setDaemon(true);
    if (!commands.isEmpty() || !morning.isEmpty()) {
      thread.start();
    }
  }

  /** Queues the program for the line of the day. */
  @Override
  public void morning(MorningLine line) {
    if (!morning.isEmpty()) {
      queue(new CommandRun("morning", morning, Map.of("CELLHERD_TEXT", clean(line.text()))));
    }
  }

  /** Queues the commands for a critical event and for a test; all else is ignored. */
  @Override
  public void event(AlertEvent event) {
    boolean isTest = event.alert().key().rule().equals(TestAlert.ID);
    if (isTest || event.alert().priority() == Priority.CRITICAL) {
      runs(commands, event).forEach(this::queue);
    }
  }

  /** The commands as they are run for an event. */
  public static List<CommandRun> runs(List<List<String>> commands, AlertEvent event) {
    return commands.stream()
        .map(command -> new CommandRun("alert.command", command, environment(event)))
        .toList();
  }

  private static Map<String, String> environment(AlertEvent event) {
    return Map.of(
        "CELLHERD_PACK", event.alert().key().pack(),
        "CELLHERD_RULE", event.alert().key().rule().word(),
        "CELLHERD_CELL", Integer.toString(event.alert().key().cell()),
        "CELLHERD_CHANGE", event.change().word(),
        "CELLHERD_TEXT", clean(event.alert().text()));
  }

  private static String clean(String text) {
    return text.replace('\0', ' ');
  }

  private void queue(CommandRun job) {
    if (!queue.offer(job)) {
      LOG.log(Level.WARNING, job.table() + ": too many events wait, one was left out");
    }
  }

  private void run() {
    try {
      while (!Thread.currentThread().isInterrupted()) {
        runOne(queue.take());
      }
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
  }

  private static void runOne(CommandRun job) throws InterruptedException {
    String trouble = job.trouble();
    if (!trouble.isEmpty()) {
      LOG.log(Level.WARNING, job.name() + ": " + trouble);
    }
  }

  @Override
  public void close() {
    thread.interrupt();
  }
}
