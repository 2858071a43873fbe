//! `completions` and `manual`: made from the same definitions as the help.

use super::context::{Context, DONE};
use super::failure::Failure;
use super::written_file;
use clap::{Args, Command};
use clap_complete::Shell;
use clap_mangen::Man;
use std::fs;
use std::path::PathBuf;

/// Print a script that lets a shell complete what you type
///
/// Put it where your shell looks for such scripts; its manual says where.
///
/// Example: wheelworth completions bash > ~/.local/share/bash-completion/completions/wheelworth
#[derive(Debug, Args)]
pub(super) struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Print the manual page, or write all pages into a folder
///
/// The page of a command is named after it: wheelworth-price.1.
///
/// Example: wheelworth manual --into ~/.local/share/man/man1; then: man wheelworth-price
#[derive(Debug, Args)]
pub(super) struct Manual {
    /// Write the page of the program and one of each command into this folder; it is made where it
    /// is not there
    #[arg(long, value_name = "FOLDER")]
    into: Option<PathBuf>,
}

/// Prints the script of a shell.
///
/// # Errors
/// It cannot be printed.
pub(super) fn completions(
    context: &mut Context<'_>,
    mut command: Command,
    arguments: &Completions,
) -> Result<u8, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "wheelworth", &mut script);
    context.out.write_all(&script)?;
    Ok(DONE)
}

/// Prints the page of the program, or writes all pages.
///
/// # Errors
/// It cannot be printed, or a page cannot be written.
pub(super) fn manual(
    context: &mut Context<'_>,
    command: Command,
    arguments: &Manual,
) -> Result<u8, Failure> {
    let mut command = without_help(command);
    // Passes what every command has on to each, and names it in full.
    command.build();
    let Some(folder) = &arguments.into else {
        context.out.write_all(&page(command)?)?;
        return Ok(DONE);
    };
    fs::create_dir_all(folder).map_err(|error| {
        Failure::refused(
            format!("{}: cannot be made: {error}", folder.display()),
            "Name a folder that you may write into.",
        )
    })?;
    let mut pages = 0;
    let mut waiting = vec![command];
    while let Some(command) = waiting.pop() {
        waiting.extend(command.get_subcommands().cloned());
        let whole = command.get_display_name().unwrap_or(command.get_name());
        let name = format!("{whole}.1");
        let path = folder.join(&name);
        let is_a_page = |there: &mut fs::File| written_file::begins_with(there, &[MARK]);
        written_file::replace_file(
            &path,
            &page(command)?,
            is_a_page,
            "no page of a manual",
            "page",
        )?;
        pages += 1;
    }
    writeln!(
        context.out,
        "Wrote {pages} pages into {}.",
        folder.display()
    )?;
    Ok(DONE)
}

/// The same without the commands that only print help: they have no page.
fn without_help(command: clap::Command) -> clap::Command {
    let names = command.get_subcommands().map(clap::Command::get_name);
    let names: Vec<String> = names.map(str::to_string).collect();
    let command = command.disable_help_subcommand(true);
    let inner = |command: clap::Command, name| command.mut_subcommand(name, without_help);
    names.into_iter().fold(command, inner)
}

/// What a page begins with.
const MARK: &[u8] = b".ie \\n(.g";

fn page(command: clap::Command) -> Result<Vec<u8>, Failure> {
    let mut page = Vec::new();
    Man::new(command).render(&mut page)?;
    Ok(page)
}
