use ball::*; use lane::*; use measure::*;
fn main() {
    let ball = Ball::new(BallSpec::new("t", CoverKind::Reactive)).unwrap().0;
    let film = Film::from_strokes(&[
        Stroke{boards:(2.0,38.0),feet:(0.0,40.0),oil:Microlitres(12000.0),direction:Direction::Out},
        Stroke{boards:(10.0,30.0),feet:(0.0,34.0),oil:Microlitres(12000.0),direction:Direction::Out}], 2.0).unwrap();
    let lane = Lane::new(Coating::Oil(film));
    let law = ContactLaw::default();
    let runway = Runway::new(&lane, &ball, &law);
    let mut rel = vec![];
    for i in 0..32768 { let f = i as f64/32768.0; rel.push(Release{laydown:Board(12.0+10.0*f), launch:Degrees(1.0+ (f*37.0)%2.0), loft:Feet(1.0), rev_rate: Rpm(300.0+100.0*((f*91.0)%1.0)), ..Release::default()}); }
    for _ in 0..3 {
    let t=std::time::Instant::now();
    let out = runway.throw_many(&rel);
    let dt=t.elapsed().as_secs_f64();
    println!("{} paths/s  {:?}", out.len() as f64/dt, out[5].touch.map(|t|(t.pin,t.board().0,t.angle().0)));
    }
    let out = runway.throw_many(&rel);
    for form in [TrackForm::Ring, TrackForm::Grid, TrackForm::Dry] {
    let mut worst=(0.0f64,0.0f64); let (mut s,mut n)=(0.0,0);
    let t=std::time::Instant::now();
    for i in (0..32768).step_by(2001) {
        let p = throw_to(&lane, lane.pattern_end(), &ball, &rel[i], &law, Fineness{step_s:1e-3, track:form}).unwrap();
        if let (Some(a),Some(b))=(p.touch,out[i].touch) {
            let db=(a.board().0-b.board().0).abs(); let da=(a.angle().0-b.angle().0).abs();
            worst=(worst.0.max(db),worst.1.max(da)); s+=db; n+=1;
            if form==TrackForm::Ring { println!("{i} pin {} {}  board {:.4} {:.4} angle {:.4} {:.4} exit {:.4} {:.4} bp {:?} {:?} t {:.5} {:.5}", a.pin,b.pin,a.board().0,b.board().0,a.angle().0,b.angle().0,p.exit.unwrap().board.0,out[i].exit.unwrap().board.0, p.breakpoint, out[i].breakpoint, p.time_s,out[i].time_s); }
        } else { println!("{i} {:?} {:?}", p.gutter, out[i].gutter); }
    }
    println!("{form:?} worst {worst:?} mean {} n {n} {:.2} ms each", s/n as f64, t.elapsed().as_secs_f64()*1e3/17.0);
    }
}
