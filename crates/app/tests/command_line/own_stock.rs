//! `lineside stock export` and `import`: out, in, and what is refused.

use crate::Outcome;
use crate::running::Folder;

#[test]
fn stock_goes_out_and_one_item_of_ones_own_comes_in() -> Outcome<()> {
    let folder = Folder::new("own_stock")?;
    let ran = folder.run(&["stock", "export", "--kind", "fuse", "-o", "fuses.csv"])?;
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let table = folder.read("fuses.csv")?;
    let (head, rows) = table.split_once('\n').ok_or("rows")?;
    let row = rows.lines().next().ok_or("a row")?;
    let name = row.split('"').nth(1).ok_or("a name in quotes")?;
    let mine = row.replacen(name, "Fuse from our own shelf", 1);
    folder.write("mine.csv", format!("{head}\n{mine}\n{row}\n"))?;
    // The second row has a name that the built-in stock has.
    let dry = folder.run(&["stock", "import", "mine.csv", "--dry-run"])?;
    assert_eq!(dry.code, Some(1));
    assert!(dry.out.contains("1 items could be taken") && dry.out.contains("line 3"), "{}", dry.out);
    assert_eq!(folder.run(&["stock", "Fuse from our own shelf"])?.code, Some(2), "nothing was kept");
    let json = folder.json(&["stock", "import", "mine.csv", "--json"])?;
    assert_eq!(json["taken"][0], "Fuse from our own shelf");
    assert_eq!(json["refused"].as_array().map(Vec::len), Some(1));
    assert_eq!(folder.run(&["stock", "Fuse from our own shelf"])?.code, Some(0));
    // A second time it is already there.
    let again = folder.json(&["stock", "import", "mine.csv", "--json"])?;
    assert_eq!(again["taken"].as_array().map(Vec::len), Some(0));
    let own = folder.run(&["stock", "export", "--own", "-o", "-"])?;
    assert_eq!(own.out.lines().count(), 2, "{}", own.out);
    Ok(())
}

#[test]
fn columns_of_other_names_are_mapped() -> Outcome<()> {
    let folder = Folder::new("own_stock_map")?;
    let table = folder.run(&["stock", "export", "--kind", "bus_bar", "-o", "-"])?.out;
    let theirs = table.replacen("equipment,name", "sort,article", 1).replacen(",\"", ",\"Our ", 3);
    folder.write("theirs.csv", &theirs)?;
    let unread = folder.run(&["stock", "import", "theirs.csv"])?;
    assert_eq!(unread.code, Some(2));
    assert!(unread.err.contains("“equipment”") && unread.err.contains("“name”"), "{}", unread.err);
    let arguments =
        ["stock", "import", "theirs.csv", "--map", "sort=equipment", "--map", "article=name", "--dry-run"];
    let mapped = folder.run(&arguments)?;
    assert!(mapped.out.contains("Our "), "{}", mapped.out);
    let wrong = folder.run(&["stock", "import", "theirs.csv", "--map", "sort"])?;
    assert!(wrong.code == Some(2) && wrong.err.contains("THEIRS=OURS"), "{}", wrong.err);
    let ending = folder.run(&["stock", "export", "-o", "stock.txt"])?;
    assert!(ending.code == Some(2) && ending.err.contains(".csv"), "{}", ending.err);
    Ok(())
}

#[test]
fn a_table_of_one_kind_needs_no_column_for_it() -> Outcome<()> {
    let folder = Folder::new("own_stock_kind")?;
    folder.write("bars.csv", "Model,Amps (A),taps\nOur bar,250,6\nOdd bar,250,\n")?;
    let arguments = [
        "stock",
        "import",
        "bars.csv",
        "--kind",
        "bus_bar",
        "--map",
        "Model=name",
        "--map",
        "Amps (A)=rating",
    ];
    let json = folder.json(&[&arguments[..], &["--json"]].concat())?;
    assert_eq!(json["taken"][0], "Our bar");
    let refused = json["refused"][0].as_str().ok_or("a reason")?;
    assert!(refused.contains("line 3") && refused.contains("taps"), "{refused}");
    Ok(())
}
