package org.cellherd.app.verb;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.util.List;
import java.util.function.Function;
import org.cellherd.app.Stop;

/** Asks a person, one question a line; an empty answer takes what is proposed. */
final class SetupQuestions {

  private static final int MOST_TRIES = 5;

  private final BufferedReader in;
  private final PrintWriter out;

  SetupQuestions(BufferedReader in, PrintWriter out) {
    this.in = in;
    this.out = out;
  }

  /**
   * Asks until the answer is understood.
   *
   * @param proposed taken for an empty answer; "" when there must be one
   * @param understood returns the value, or throws {@link IllegalArgumentException} with what is
   *     allowed
   */
  <T> T ask(String question, String proposed, Function<String, T> understood) {
    for (int i = 0; i < MOST_TRIES; i++) {
      out.print(question + (proposed.isEmpty() ? ": " : " [" + proposed + "]: "));
      out.flush();
      String answer = line();
      try {
        return understood.apply(answer.isEmpty() ? proposed : answer);
      } catch (IllegalArgumentException not) {
        out.println("  " + not.getMessage());
      }
    }
    throw Stop.usage("setup: no answer that can be used, stopped");
  }

  /**
   * Asks until the answer is understood, and fits what is known or is given a second time.
   *
   * @param doubts sentences that say what an answer contradicts
   */
  <T> T askAgainst(
      String question,
      String proposed,
      Function<String, T> understood,
      Function<T, List<String>> doubts) {
    T answer = ask(question, proposed, understood);
    List<String> against = doubts.apply(answer);
    while (!against.isEmpty()) {
      against.forEach(doubt -> out.println("  " + doubt));
      T again = ask(question + ", the same again to keep it", proposed, understood);
      if (again.equals(answer)) {
        return answer;
      }
      answer = again;
      against = doubts.apply(answer);
    }
    return answer;
  }

  private String line() {
    try {
      String line = in.readLine();
      if (line == null) {
        throw Stop.usage("setup: the answers ended, nothing was written");
      }
      return line.strip();
    } catch (IOException broken) {
      throw Stop.usage("setup: " + broken.getMessage());
    }
  }

  static Function<String, Integer> whole(int least, int most) {
    return text -> {
      if (text.matches("[0-9]{1,9}")
          && Integer.parseInt(text) >= least
          && Integer.parseInt(text) <= most) {
        return Integer.parseInt(text);
      }
      throw new IllegalArgumentException("a whole number from " + least + " to " + most);
    };
  }

  static Function<String, Double> number(double least, double most) {
    return text -> {
      try {
        double value = Double.parseDouble(text.replace(',', '.'));
        if (value >= least && value <= most) {
          return value;
        }
      } catch (NumberFormatException notANumber) {
        throw new IllegalArgumentException("a number such as 27 or 22.5", notANumber);
      }
      throw new IllegalArgumentException("a number from " + least + " to " + most);
    };
  }
}
