package org.cellherd.app.daemon;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;
import org.cellherd.mqtt.MorningLine;

/**
 * Runs fixed programs for critical events, to drive a buzzer or lamp without any network, and one
 * for the line of the day. No shell and no argument from outside: what happened is told by
 * environment variables only. Own thread.
 */
public final class CommandHook implements AutoCloseable {

  private static final Logger LOG = System.getLogger(CommandHook.class.getName());
  private static final int LONGEST_RUN_S = 20;

  private final List<List<String>> commands;
  private final List<String> morning;
  private final ArrayBlockingQueue<Job> queue = new ArrayBlockingQueue<>(100);
  private final Thread thread;

  /** What is run, as its table of the config is called, with which environment. */
  private record Job(String table, List<String> command, Map<String, String> environment) {}

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
  public void tell(MorningLine line) {
    if (!morning.isEmpty()) {
      queue(new Job("morning", morning, Map.of("CELLHERD_TEXT", clean(line.text()))));
    }
  }

  /** Queues the commands for a critical event; other priorities are ignored. */
  public void tell(AlertEvent event) {
    if (event.alert().priority() == Priority.CRITICAL) {
      for (List<String> command : commands) {
        queue(new Job("alert.command", command, environment(event)));
      }
    }
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

  private void queue(Job job) {
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

  private static void runOne(Job job) throws InterruptedException {
    ProcessBuilder builder = new ProcessBuilder(job.command());
    builder.redirectErrorStream(true).redirectOutput(ProcessBuilder.Redirect.DISCARD);
    builder.environment().putAll(job.environment());
    String name = job.table() + " " + job.command().get(0);
    try {
      Process process = builder.start();
      process.getOutputStream().close();
      if (!process.waitFor(LONGEST_RUN_S, TimeUnit.SECONDS)) {
        process.destroyForcibly();
        LOG.log(Level.WARNING, name + " did not end in 20 s, stopped");
      } else if (process.exitValue() != 0) {
        LOG.log(Level.WARNING, name + " ended with " + process.exitValue());
      }
    } catch (IOException cannotRun) {
      LOG.log(Level.WARNING, name + ": " + cannotRun.getMessage());
    }
  }

  @Override
  public void close() {
    thread.interrupt();
  }
}
