package org.cellherd.app.daemon;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;

/**
 * Runs fixed programs for critical events, to drive a buzzer or lamp without any network. No shell
 * and no argument from outside: the event is told by environment variables only. Own thread.
 */
public final class CommandHook implements AutoCloseable {

  private static final Logger LOG = System.getLogger(CommandHook.class.getName());
  private static final int LONGEST_RUN_S = 20;

  private final List<List<String>> commands;
  private final ArrayBlockingQueue<AlertEvent> queue = new ArrayBlockingQueue<>(100);
  private final Thread thread;

  /** Starts the thread unless there is nothing to run. */
  public CommandHook(List<List<String>> commands) {
    this.commands = List.copyOf(commands);
    this.thread = new Thread(this::run, "commands");
    thread.setDaemon(true);
    if (!commands.isEmpty()) {
      thread.start();
    }
  }

  /** Queues the commands for a critical event; other priorities are ignored. */
  public void tell(AlertEvent event) {
    if (!commands.isEmpty()
        && event.alert().priority() == Priority.CRITICAL
        && !queue.offer(event)) {
      LOG.log(Level.WARNING, "alert.command: too many events wait, one was left out");
    }
  }

  private void run() {
    try {
      while (!Thread.currentThread().isInterrupted()) {
        AlertEvent event = queue.take();
        for (List<String> command : commands) {
          runOne(command, event);
        }
      }
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
  }

  private static void runOne(List<String> command, AlertEvent event) throws InterruptedException {
    ProcessBuilder builder = new ProcessBuilder(command);
    builder.redirectErrorStream(true).redirectOutput(ProcessBuilder.Redirect.DISCARD);
    builder.environment().put("CELLHERD_PACK", event.alert().key().pack());
    builder.environment().put("CELLHERD_RULE", event.alert().key().rule().word());
    builder.environment().put("CELLHERD_CELL", Integer.toString(event.alert().key().cell()));
    builder.environment().put("CELLHERD_CHANGE", event.change().word());
    builder.environment().put("CELLHERD_TEXT", event.alert().text().replace('\0', ' '));
    try {
      Process process = builder.start();
      process.getOutputStream().close();
      if (!process.waitFor(LONGEST_RUN_S, TimeUnit.SECONDS)) {
        process.destroyForcibly();
        LOG.log(Level.WARNING, "alert.command " + command.get(0) + " did not end in 20 s, stopped");
      } else if (process.exitValue() != 0) {
        LOG.log(
            Level.WARNING,
            "alert.command " + command.get(0) + " ended with " + process.exitValue());
      }
    } catch (IOException cannotRun) {
      LOG.log(Level.WARNING, "alert.command " + command.get(0) + ": " + cannotRun.getMessage());
    }
  }

  @Override
  public void close() {
    thread.interrupt();
  }
}
